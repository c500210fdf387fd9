package cairn.io.flac;

import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.security.MessageDigest;

/**
 * Writes a FLAC file of one or two channels, 4 to 24 bits: blocks of 4096, fixed predictors, Rice
 * codes, each of the four stereo ways. Plain and exact rather than small: no linear predictor is
 * searched for. The header, with length and MD5, is filled in by {@link #close}; until then the
 * file is not complete. The same samples always give the same bytes.
 *
 * <p>For one thread.
 */
public final class FlacWriter implements Closeable {

  private static final int BLOCK_FRAMES = 4096;
  private static final int BLOCK_CODE = 12;
  private static final int HEADER_BYTES = 4 + 4 + StreamInfo.BYTES;
  private static final long MOST_FRAMES = (1L << 36) - 1;

  private final FileChannel channel;
  private final int sampleRateHz;
  private final int bits;

  /** The block that is being gathered: {@code [channel][0 : gathered]}. */
  private final int[][] block;

  private final int[] mid = new int[BLOCK_FRAMES];
  private final int[] side = new int[BLOCK_FRAMES];
  private final SubframePlan[] plans = new SubframePlan[4];
  private final BitWriter out = new BitWriter();
  private final MessageDigest md5 = FlacFile.newMd5();
  private final byte[] raw;
  private int gathered;
  private long frames;
  private long blocks;
  private int smallestFrameBytes = Integer.MAX_VALUE;
  private int largestFrameBytes;
  private boolean closed;

  /**
   * Starts a new file.
   *
   * @param sampleRateHz 1 to 1 048 575
   * @param channels 1 or 2
   * @param bits 4 to 24
   * @throws java.nio.file.FileAlreadyExistsException if there is one of that name
   */
  public static FlacWriter create(Path path, int sampleRateHz, int channels, int bits)
      throws IOException {
    check(
        sampleRateHz >= 1 && sampleRateHz < 1 << 20, "sampleRateHz", "1 to 1048575", sampleRateHz);
    check(channels == 1 || channels == 2, "channels", "1 or 2", channels);
    check(bits >= 4 && bits <= 24, "bits", "4 to 24", bits);
    FileChannel channel =
        FileChannel.open(path, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE);
    try {
      return new FlacWriter(channel, sampleRateHz, channels, bits);
    } catch (IOException e) {
      channel.close();
      throw e;
    }
  }

  private FlacWriter(FileChannel channel, int sampleRateHz, int channels, int bits)
      throws IOException {
    this.channel = channel;
    this.sampleRateHz = sampleRateHz;
    this.bits = bits;
    this.block = new int[channels][BLOCK_FRAMES];
    this.raw = new byte[BLOCK_FRAMES * channels * ((bits + 7) / 8)];
    for (int i = 0; i < plans.length; i++) {
      plans[i] = new SubframePlan(BLOCK_FRAMES);
    }
    put(ByteBuffer.allocate(HEADER_BYTES));
  }

  /**
   * Appends {@code from[0 : channels][at : at + count]}, 1.0 = full scale, rounded to the nearest
   * step, halves to even.
   *
   * @throws IllegalArgumentException if a value is not finite, or does not fit once rounded: full
   *     scale is 2^(bits − 1), the largest number one less
   */
  public void write(double[][] from, int at, int count) throws IOException {
    double scale = 1L << (bits - 1);
    for (int done = 0; done < count; ) {
      int part = Math.min(count - done, BLOCK_FRAMES - gathered);
      for (int c = 0; c < block.length; c++) {
        for (int i = 0; i < part; i++) {
          block[c][gathered + i] = fitting(Math.rint(from[c][at + done + i] * scale), c, i);
        }
      }
      gather(part);
      done += part;
    }
  }

  /**
   * Appends {@code from[0 : channels][at : at + count]}, whole steps.
   *
   * @throws IllegalArgumentException if a number does not fit into the bits
   */
  public void write(int[][] from, int at, int count) throws IOException {
    for (int done = 0; done < count; ) {
      int part = Math.min(count - done, BLOCK_FRAMES - gathered);
      for (int c = 0; c < block.length; c++) {
        for (int i = 0; i < part; i++) {
          block[c][gathered + i] = fitting(from[c][at + done + i], c, i);
        }
      }
      gather(part);
      done += part;
    }
  }

  /** Frames appended so far. */
  public long frames() {
    return frames;
  }

  /** Writes what is gathered and the header. */
  @Override
  public void close() throws IOException {
    if (closed) {
      return;
    }
    closed = true;
    try (channel) {
      if (gathered > 0) {
        writeBlock();
      }
      writeHeader();
    }
  }

  /** The number of steps, which is whole, as an int. */
  private int fitting(double steps, int channel, int i) {
    double end = 1L << (bits - 1);
    if (steps >= -end && steps < end) {
      return (int) steps;
    }
    throw new IllegalArgumentException(
        "a sample must fit into "
            + bits
            + " bits: steps="
            + steps
            + ", channel="
            + channel
            + ", frame="
            + (frames + i));
  }

  private void gather(int count) throws IOException {
    if (closed) {
      throw new IllegalStateException("the writer is closed");
    }
    if (count > MOST_FRAMES - frames) {
      throw new IllegalArgumentException(
          "a FLAC file has at most " + MOST_FRAMES + " frames: frames=" + frames);
    }
    gathered += count;
    frames += count;
    if (gathered == BLOCK_FRAMES) {
      writeBlock();
    }
  }

  private void writeBlock() throws IOException {
    int length = gathered * block.length * ((bits + 7) / 8);
    FlacFile.interleave(block, 0, gathered, bits, raw);
    md5.update(raw, 0, length);

    SubframePlan first = plans[0];
    SubframePlan second = plans[1];
    int channelCode = block.length - 1;
    first.plan(block[0], gathered, bits);
    if (block.length == 2) {
      for (int i = 0; i < gathered; i++) {
        mid[i] = (block[0][i] + block[1][i]) >> 1;
        side[i] = block[0][i] - block[1][i];
      }
      SubframePlan left = plans[0];
      SubframePlan right = plans[1];
      SubframePlan middle = plans[2];
      SubframePlan sides = plans[3];
      right.plan(block[1], gathered, bits);
      middle.plan(mid, gathered, bits);
      sides.plan(side, gathered, bits + 1);
      long least = left.costBits() + right.costBits();
      if (left.costBits() + sides.costBits() < least) {
        least = left.costBits() + sides.costBits();
        channelCode = FrameHeader.LEFT_SIDE;
        second = sides;
      }
      if (sides.costBits() + right.costBits() < least) {
        least = sides.costBits() + right.costBits();
        channelCode = FrameHeader.SIDE_RIGHT;
        first = sides;
        second = right;
      }
      if (middle.costBits() + sides.costBits() < least) {
        channelCode = FrameHeader.MID_SIDE;
        first = middle;
        second = sides;
      }
    }

    out.clear();
    writeFrameHeader(channelCode);
    first.write(out);
    if (block.length == 2) {
      second.write(out);
    }
    out.align();
    out.write(Crc.crc16(out.bytes(), 0, out.count()), 16);
    put(ByteBuffer.wrap(out.bytes(), 0, out.count()));
    smallestFrameBytes = Math.min(smallestFrameBytes, out.count());
    largestFrameBytes = Math.max(largestFrameBytes, out.count());
    blocks++;
    gathered = 0;
  }

  private void writeFrameHeader(int channelCode) {
    boolean full = gathered == BLOCK_FRAMES;
    out.write(0xFFF8, 16);
    out.write(full ? BLOCK_CODE : 7, 4);
    int rateCode = FrameHeader.rateCode(sampleRateHz);
    out.write(rateCode, 4);
    out.write(channelCode, 4);
    out.write(FrameHeader.depthCode(bits), 3);
    out.write(0, 1);
    writeNumber(blocks);
    if (!full) {
      out.write(gathered - 1, 16);
    }
    if (rateCode == FrameHeader.RATE_IN_HZ) {
      out.write(sampleRateHz, 16);
    } else if (rateCode == FrameHeader.RATE_IN_TENS_OF_HZ) {
      out.write(sampleRateHz / 10, 16);
    }
    out.write(Crc.crc8(out.bytes(), 0, out.count()), 8);
  }

  /** The coded number, as in UTF-8; at most 31 bits, since the file has at most 2^36 samples. */
  private void writeNumber(long number) {
    if (number < 0x80) {
      out.write(number, 8);
      return;
    }
    int followers = 1;
    while (number >>> (6 * followers + 6 - followers) != 0) {
      followers++;
    }
    int ones = followers + 1;
    out.write((0xFF << (8 - ones) & 0xFF) | (number >>> (6 * followers)), 8);
    for (int i = followers - 1; i >= 0; i--) {
      out.write(0x80 | (number >>> (6 * i) & 0x3F), 8);
    }
  }

  private void writeHeader() throws IOException {
    out.clear();
    out.write(0x664C6143, 32); // "fLaC"
    out.write(0x80, 8); // the last block, of type STREAMINFO
    out.write(StreamInfo.BYTES, 24);
    out.write(BLOCK_FRAMES, 16);
    out.write(BLOCK_FRAMES, 16);
    out.write(blocks == 0 ? 0 : smallestFrameBytes, 24);
    out.write(largestFrameBytes, 24);
    out.write(sampleRateHz, 20);
    out.write(block.length - 1, 3);
    out.write(bits - 1, 5);
    out.write(frames, 36);
    for (byte b : md5.digest()) {
      out.write(b, 8);
    }
    channel.position(0);
    put(ByteBuffer.wrap(out.bytes(), 0, out.count()));
  }

  private void put(ByteBuffer bytes) throws IOException {
    while (bytes.hasRemaining()) {
      channel.write(bytes);
    }
  }

  private static void check(boolean holds, String name, String range, int number) {
    if (!holds) {
      throw new IllegalArgumentException(name + " must be " + range + ": " + name + "=" + number);
    }
  }
}
