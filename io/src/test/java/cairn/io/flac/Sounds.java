package cairn.io.flac;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;

import cairn.io.sound.SoundFile;
import cairn.io.sound.SoundReader;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;

/** Made-up sounds as whole numbers, {@code [channel][frame]}, and ways to read them back. */
final class Sounds {

  private Sounds() {}

  /** Two tones and a little noise; the second channel is like the first. */
  static int[][] parade(int channels, int frames, int bits, long seed) {
    Random random = new Random(seed);
    double full = (1L << (bits - 1)) - 1;
    int[][] sound = new int[channels][frames];
    for (int i = 0; i < frames; i++) {
      double low = 0.4 * Math.sin(i * 0.031);
      double high = 0.15 * Math.sin(i * 0.71);
      for (int c = 0; c < channels; c++) {
        double noise = 0.02 * random.nextGaussian();
        sound[c][i] =
            (int) Math.rint(full * Math.max(-1, Math.min(1, low + high / (c + 1) + noise)));
      }
    }
    return sound;
  }

  /** Every number equally likely. */
  static int[][] noise(int channels, int frames, int bits, long seed) {
    Random random = new Random(seed);
    int[][] sound = new int[channels][frames];
    for (int[] channel : sound) {
      for (int i = 0; i < frames; i++) {
        channel[i] = random.nextInt() >> (32 - bits);
      }
    }
    return sound;
  }

  /** Only the two ends of the range, in turn and at random: the largest sides and residuals. */
  static int[][] rails(int channels, int frames, int bits, long seed) {
    Random random = new Random(seed);
    int low = (int) (-1L << (bits - 1));
    int[][] sound = new int[channels][frames];
    for (int i = 0; i < frames; i++) {
      for (int c = 0; c < channels; c++) {
        boolean up = i < frames / 2 ? (i + c) % 2 == 0 : random.nextBoolean();
        sound[c][i] = up ? -1 - low : low;
      }
    }
    return sound;
  }

  /** The samples as little-endian bytes, interleaved. */
  static byte[] raw(int[][] sound, int bits) {
    byte[] raw = new byte[sound.length * sound[0].length * ((bits + 7) / 8)];
    int at = 0;
    for (int i = 0; i < sound[0].length; i++) {
      for (int[] channel : sound) {
        for (int b = 0; b < (bits + 7) / 8; b++) {
          raw[at++] = (byte) (channel[i] >> (8 * b));
        }
      }
    }
    return raw;
  }

  /** Writes a file with our own writer. */
  static Path write(Path path, int[][] sound, int bits) throws IOException {
    try (FlacWriter writer = FlacWriter.create(path, 48_000, sound.length, bits)) {
      writer.write(sound, 0, sound[0].length);
    }
    return path;
  }

  /** Reads a range as whole numbers. */
  static int[][] read(SoundFile file, SoundReader reader, long firstFrame, int frames)
      throws IOException {
    int channels = file.format().channels();
    double[][] block = new double[channels][frames + 3];
    reader.read(firstFrame, frames, block, 3);
    double full = 1L << (file.format().bits() - 1);
    int[][] sound = new int[channels][frames];
    for (int c = 0; c < channels; c++) {
      for (int i = 0; i < frames; i++) {
        sound[c][i] = (int) (block[c][i + 3] * full);
      }
    }
    return sound;
  }

  /** Reads all of it, in blocks. */
  static int[][] readAll(SoundFile file, int blockFrames) throws IOException {
    int frames = (int) file.format().frames();
    int[][] sound = new int[file.format().channels()][frames];
    try (SoundReader reader = file.openReader()) {
      for (int at = 0; at < frames; at += blockFrames) {
        int[][] part = read(file, reader, at, Math.min(blockFrames, frames - at));
        for (int c = 0; c < sound.length; c++) {
          System.arraycopy(part[c], 0, sound[c], at, part[c].length);
        }
      }
    }
    return sound;
  }

  static int[][] cut(int[][] sound, int from, int to) {
    int[][] part = new int[sound.length][];
    for (int c = 0; c < sound.length; c++) {
      part[c] = Arrays.copyOfRange(sound[c], from, to);
    }
    return part;
  }

  static void assertSame(int[][] expected, int[][] actual, String what) {
    for (int c = 0; c < expected.length; c++) {
      assertArrayEquals(expected[c], actual[c], what + ", channel " + c);
    }
  }

  /** Where the frames of a sound file start, and at last where they end. */
  static List<Integer> frameOffsets(Path path) throws IOException {
    List<Integer> offsets = new ArrayList<>();
    try (FlacFile file = FlacFile.open(path)) {
      FrameStream stream = new FrameStream(file);
      offsets.add((int) stream.endOffset());
      while (stream.endFrame() < file.format().frames()) {
        stream.next();
        offsets.add((int) stream.endOffset());
      }
    }
    return offsets;
  }

  /** The header with another length; 0: not known. */
  static void setFrames(byte[] file, long frames) {
    file[21] = (byte) ((file[21] & 0xF0) | (frames >>> 32));
    for (int i = 0; i < 4; i++) {
      file[22 + i] = (byte) (frames >>> (24 - 8 * i));
    }
  }

  /** Writes bytes to a file. */
  static Path put(Path path, byte[] bytes) throws IOException {
    return Files.write(path, bytes);
  }
}
