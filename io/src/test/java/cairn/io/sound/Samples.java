package cairn.io.sound;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.util.Random;

/** Planar samples for tests. */
public final class Samples {

  private Samples() {}

  /** All samples of a short file, read at once. */
  public static double[][] of(SoundFile file) throws IOException {
    int frames = Math.toIntExact(file.format().frames());
    double[][] all = new double[file.format().channels()][frames];
    try (SoundReader reader = file.openReader()) {
      reader.read(0, frames, all, 0);
    }
    return all;
  }

  /** Noise within full scale that any PCM of up to {@code bits} bits holds exactly. */
  public static double[][] noise(long seed, int channels, int frames, int bits) {
    Random random = new Random(seed);
    long fullScale = 1L << (bits - 1);
    double[][] noise = new double[channels][frames];
    for (int i = 0; i < frames; i++) {
      for (int c = 0; c < channels; c++) {
        noise[c][i] = (double) Math.floorMod(random.nextLong(), 2 * fullScale) / fullScale - 1.0;
      }
    }
    noise[0][0] = -1.0;
    noise[channels - 1][frames - 1] = (double) (fullScale - 1) / fullScale;
    return noise;
  }

  /** Interleaved little-endian doubles, as the tools take and give them. */
  public static byte[] interleaved(double[][] planar) {
    ByteBuffer bytes =
        ByteBuffer.allocate(8 * planar.length * planar[0].length).order(ByteOrder.LITTLE_ENDIAN);
    for (int i = 0; i < planar[0].length; i++) {
      for (double[] channel : planar) {
        bytes.putDouble(channel[i]);
      }
    }
    return bytes.array();
  }

  /** The reverse of {@link #interleaved}. */
  public static double[][] planar(byte[] interleaved, int channels) {
    ByteBuffer bytes = ByteBuffer.wrap(interleaved).order(ByteOrder.LITTLE_ENDIAN);
    double[][] planar = new double[channels][interleaved.length / 8 / channels];
    for (int i = 0; i < planar[0].length; i++) {
      for (int c = 0; c < channels; c++) {
        planar[c][i] = bytes.getDouble();
      }
    }
    return planar;
  }
}
