package cairn.tui.outside;

import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.wave.WaveLayout;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Random;

/**
 * Three stems of ten seconds, read in no time: bursts of noise, most of them on one stem, at
 * sixteen instants on all three. No two bursts are alike.
 */
public final class SmallSong {

  /** Moments over the line, each of a kind of its own. */
  static final int MOMENTS = 12;

  private static final int RATE_HZ = 48_000;
  private static final int SECONDS = 10;

  private SmallSong() {}

  /** Writes the stems into a folder, which is made. */
  public static Path write(Path folder) throws IOException {
    Files.createDirectories(folder);
    Random random = new Random(7);
    for (String name : new String[] {"caixa", "repinique", "surdo"}) {
      double[] x = new double[RATE_HZ * SECONDS];
      for (int i = 0; i < SECONDS * 4; i++) {
        burst(x, i * RATE_HZ / 4 + random.nextInt(RATE_HZ / 8), 0.22, random);
      }
      for (int i = 0; i < MOMENTS; i++) {
        burst(x, 5 * RATE_HZ + i * RATE_HZ / 8, 0.25 + 0.005 * i, random);
      }
      write(folder.resolve(name + ".wav"), x);
    }
    return folder;
  }

  /** Sudden, gone after some milliseconds; its first sample is its highest. */
  private static void burst(double[] x, int at, double size, Random random) {
    for (int i = 0; i < 2_000 && at + i < x.length; i++) {
      double noise = i == 0 ? 1 : 1.4 * random.nextDouble() - 0.7;
      x[at + i] += size * Math.exp(-i / 300.0) * noise;
    }
  }

  private static void write(Path file, double[] x) throws IOException {
    try (OutputStream out = Files.newOutputStream(file);
        LinearSoundWriter writer =
            WaveLayout.plain(LinearCoding.PCM_16_LITTLE, RATE_HZ, 1, x.length).writeTo(out)) {
      writer.write(new double[][] {x}, 0, x.length);
    }
  }
}
