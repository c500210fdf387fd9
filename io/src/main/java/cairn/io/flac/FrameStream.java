package cairn.io.flac;

import java.io.IOException;
import java.nio.ByteBuffer;

/**
 * One thread's place in a file: a piece of the file's bytes and the frame decoded last. It holds 64
 * kB of bytes, more only where frames are larger, and one block of samples.
 */
final class FrameStream {

  private static final int USUAL_BYTES = 1 << 16;

  /** A frame's length has 24 bits in STREAMINFO (RFC 9639, 8.2): larger ones are not followed. */
  private static final int LARGEST_FRAME_BYTES = 1 << 24;

  /** Frames tried in one search; a sound file needs two or three dozen at most. */
  private static final int MOST_TRIES = 200;

  /** Searches go by expected place first, then halve, so that they end soon in any file. */
  private static final int PROBES_BY_PLACE = 6;

  private static final int REMEMBERED = 32;

  private final FlacFile file;
  private final StreamInfo info;
  private final FrameHeader header = new FrameHeader();
  private final FrameDecoder decoder;

  private byte[] bytes = new byte[USUAL_BYTES + BitReader.PADDING];
  private ByteBuffer view = ByteBuffer.wrap(bytes);
  private long bytesOffset;
  private int bytesCount;

  // The frame decoded last; none while firstFrame == endFrame.
  private long firstFrame;
  private long endFrame;
  private long endOffset;

  /** Where the last frames started, so that a small step back needs no search. */
  private final long[] rememberedFrames = new long[REMEMBERED];

  private final long[] rememberedOffsets = new long[REMEMBERED];
  private int remembered;

  FrameStream(FlacFile file) {
    this.file = file;
    this.info = file.info();
    this.decoder = new FrameDecoder(info);
    this.endOffset = file.audioOffset();
  }

  /** First frame of the block at hand. */
  long firstFrame() {
    return firstFrame;
  }

  /** First frame after the block at hand. */
  long endFrame() {
    return endFrame;
  }

  /** Place of the first byte after the block at hand. */
  long endOffset() {
    return endOffset;
  }

  boolean holds(long frame) {
    return frame >= firstFrame && frame < endFrame;
  }

  /** The block at hand: {@code [channel][FrameDecoder.LEAD + frame - firstFrame]}. */
  int[][] samples() {
    return decoder.samples();
  }

  /**
   * Decodes the block that holds {@code frame}.
   *
   * @throws cairn.io.sound.UnusableStem if it is damaged
   */
  void moveTo(long frame) throws IOException {
    if (holds(frame)) {
      return;
    }
    if (frame != endFrame && !stepTo(frame)) {
      search(frame);
      return;
    }
    if (!holds(frame)) {
      next();
    }
  }

  /** Decodes the next block. */
  void next() throws IOException {
    long expected = endFrame;
    long offset = endOffset;
    String wrong = decodeAt(offset, expected);
    if (wrong != null) {
      firstFrame = expected;
      endFrame = expected;
      endOffset = offset;
      throw file.broken(expected, offset, wrong);
    }
  }

  /** Uses a start remembered, or steps over a block or two; false: neither leads to the frame. */
  private boolean stepTo(long frame) throws IOException {
    int nearest = -1;
    for (int i = 0; i < Math.min(remembered, REMEMBERED); i++) {
      if (rememberedFrames[i] <= frame
          && (nearest < 0 || rememberedFrames[i] > rememberedFrames[nearest])) {
        nearest = i;
      }
    }
    if (nearest < 0 || frame - rememberedFrames[nearest] > 4L * info.maxBlockFrames()) {
      return false;
    }
    long expected = rememberedFrames[nearest];
    long offset = rememberedOffsets[nearest];
    if (endFrame <= frame && endFrame > expected) {
      expected = endFrame;
      offset = endOffset;
    }
    while (decodeAt(offset, expected) == null) {
      if (holds(frame)) {
        return true;
      }
      expected = endFrame;
      offset = endOffset;
    }
    return false;
  }

  /**
   * Decodes the block that holds {@code frame}, wherever it is. Seek points are believed only if a
   * whole frame with the right number stands there; without one, places are probed.
   */
  private void search(long frame) throws IOException {
    SeekPoints points = file.seekPoints();
    int point = points.before(frame);
    if (point >= 0 && decodeAt(points.offset(point), points.frame(point)) == null) {
      if (holds(frame)) {
        return;
      }
      long high = point + 1 < points.count() ? points.offset(point + 1) : file.byteCount();
      long highFrame = point + 1 < points.count() ? points.frame(point + 1) : file.knownFrames();
      if (probe(frame, endOffset, endFrame, high, highFrame)) {
        return;
      }
    }
    if (probe(frame, file.audioOffset(), 0, file.byteCount(), file.knownFrames())) {
      return;
    }
    // No good frame holds it. Going on from the nearest good one says what is wrong, and where.
    while (!holds(frame)) {
      next();
    }
  }

  /**
   * Bisection between a byte where the frame {@code lowFrame} starts and {@code high}, before which
   * the searched one starts.
   *
   * @return false if no good frame was found; {@link #endOffset} then follows the last good one
   *     before
   */
  private boolean probe(long frame, long low, long lowFrame, long high, long highFrame)
      throws IOException {
    int tries = 0;
    int probes = 0;
    boolean near = false;
    while (!near && low < high) {
      near = high - low <= USUAL_BYTES;
      long from = near ? low : place(frame, low, lowFrame, high, highFrame, probes);
      probes++;
      boolean narrowed = false;
      long at = nextHeader(from, high);
      while (at >= 0 && !narrowed && tries < MOST_TRIES) {
        long first = file.firstFrame(header);
        boolean holdsIt = frame >= first && frame - first < header.blockFrames();
        if (first >= lowFrame && (holdsIt || !near)) {
          tries++;
          narrowed = decodeAt(at, first) == null;
        }
        if (!narrowed) {
          at = nextHeader(at + 1, high);
        }
      }
      if (narrowed && holds(frame)) {
        return true;
      }
      if (narrowed && firstFrame < frame) {
        low = endOffset;
        lowFrame = endFrame;
      } else {
        high = from;
        highFrame = narrowed ? firstFrame : highFrame;
      }
    }
    firstFrame = lowFrame;
    endFrame = lowFrame;
    endOffset = low;
    return false;
  }

  private long place(long frame, long low, long lowFrame, long high, long highFrame, int probes) {
    long span = high - low;
    if (probes >= PROBES_BY_PLACE || highFrame <= lowFrame) {
      return low + span / 2;
    }
    double share = (double) (frame - lowFrame) / (highFrame - lowFrame);
    long usualFrameBytes = (long) ((double) span / (highFrame - lowFrame) * info.maxBlockFrames());
    long guess = low + (long) (share * span) - usualFrameBytes;
    return Math.max(low, Math.min(guess, high - 1));
  }

  /**
   * Decodes the first good frame that starts at {@code from} or later.
   *
   * @return false if there is none
   */
  boolean moveIntoTail(long from) throws IOException {
    int tries = 0;
    long at = nextHeader(Math.max(from, file.audioOffset()), file.byteCount());
    while (at >= 0 && tries < MOST_TRIES) {
      if (decodeAt(at, file.firstFrame(header)) == null) {
        return true;
      }
      tries++;
      at = nextHeader(at + 1, file.byteCount());
    }
    return false;
  }

  /**
   * Place of the first header in {@code [from, before)} that is well formed and of this file;
   * negative if there is none. Leaves it in {@link #header}.
   */
  private long nextHeader(long from, long before) throws IOException {
    long at = from;
    while (at < before) {
      int start = load(at, FrameHeader.LARGEST_BYTES);
      int end = bytesCount;
      for (int i = start; i + 1 < end && bytesOffset + i < before; i++) {
        if (bytes[i] != -1 || (bytes[i + 1] & 0xFE) != 0xF8) {
          continue;
        }
        if (end - i < FrameHeader.LARGEST_BYTES && bytesOffset + end < file.byteCount()) {
          end = i;
        } else if (header.take(bytes, i, end, info) == null && file.agrees(header)) {
          return bytesOffset + i;
        }
      }
      // A sync may straddle the end: its first byte is looked at again.
      at = bytesOffset + Math.max(end == bytesCount ? end - 1 : end, start + 1);
    }
    return -1;
  }

  /**
   * Decodes the frame at {@code offset}. Only if all is well is it the frame at hand.
   *
   * @param expected its first sample, as it must be
   * @return null, or what is wrong
   */
  String decodeAt(long offset, long expected) throws IOException {
    firstFrame = 0;
    endFrame = 0;
    endOffset = file.audioOffset();
    if (offset >= file.byteCount()) {
      return FrameHeader.CUT_OFF;
    }
    int at = load(offset, FrameHeader.LARGEST_BYTES);
    String wrong = header.take(bytes, at, bytesCount, info);
    if (wrong != null) {
      return wrong;
    }
    if (!file.agrees(header)) {
      return "the block's way of counting is not that of the file";
    }
    long first = file.firstFrame(header);
    if (first != expected) {
      return "a block that starts at sample " + first + " stands there";
    }
    int plain = info.plainFrameBytes(header.blockFrames());
    int wanted = info.maxFrameBytes() > 0 ? Math.min(info.maxFrameBytes(), plain) : plain;
    while (true) {
      at = load(offset, wanted);
      try {
        int footer = decoder.decode(header, bytes, at + header.bytes(), bytesCount);
        int end = footer + FrameHeader.FOOTER_BYTES;
        if (end > bytesCount) {
          throw BrokenFrame.cutOff();
        }
        if (Crc.crc16(bytes, at, end) != 0) {
          return "the block's checksum is wrong";
        }
        firstFrame = first;
        endFrame = first + header.blockFrames();
        endOffset = bytesOffset + end;
        rememberedFrames[remembered % REMEMBERED] = first;
        rememberedOffsets[remembered % REMEMBERED] = offset;
        remembered = remembered == 2 * REMEMBERED - 1 ? REMEMBERED : remembered + 1;
        return null;
      } catch (BrokenFrame e) {
        boolean more = bytesOffset + bytesCount < file.byteCount();
        if (!e.isCutOff() || !more || bytesCount - at >= LARGEST_FRAME_BYTES) {
          return e.isCutOff() && more ? "the block does not end" : e.getMessage();
        }
        wanted = Math.min(2 * Math.max(wanted, bytesCount - at), LARGEST_FRAME_BYTES);
      }
    }
  }

  /**
   * Sees to it that {@code count} bytes from {@code offset} on are at hand, or all that there are.
   *
   * @return index of the first in {@link #bytes}
   */
  private int load(long offset, int count) throws IOException {
    int needed = (int) Math.min(count, file.byteCount() - offset);
    long at = offset - bytesOffset;
    if (at >= 0 && at + needed <= bytesCount) {
      return (int) at;
    }
    int kept = 0;
    if (at >= 0 && at < bytesCount) {
      kept = bytesCount - (int) at;
    }
    byte[] target = bytes;
    if (needed > bytes.length - BitReader.PADDING) {
      target = new byte[needed + BitReader.PADDING];
    }
    System.arraycopy(bytes, kept > 0 ? (int) at : 0, target, 0, kept);
    if (target != bytes) {
      bytes = target;
      view = ByteBuffer.wrap(bytes);
    }
    bytesOffset = offset;
    bytesCount = kept;
    int room = bytes.length - BitReader.PADDING;
    int last = (int) Math.min(room, file.byteCount() - offset);
    view.limit(last).position(kept);
    file.fill(view, offset + kept);
    bytesCount = last;
    return 0;
  }
}
