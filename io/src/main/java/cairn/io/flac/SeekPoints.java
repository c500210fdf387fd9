package cairn.io.flac;

import java.util.Arrays;

/**
 * Places of some frames as the file states them, in rising order; RFC 9639, 8.5. They are hints: a
 * table may be wrong, which is found out where it is used.
 */
final class SeekPoints {

  static final SeekPoints NONE = new SeekPoints(new long[0], new long[0]);

  /** Bytes of one point. */
  static final int BYTES = 18;

  /** More are not kept; a point every ten seconds makes 360 in an hour. */
  static final int MOST = 8192;

  private final long[] frames;
  private final long[] offsets;

  private SeekPoints(long[] frames, long[] offsets) {
    this.frames = frames;
    this.offsets = offsets;
  }

  /**
   * The points of a SEEKTABLE block that can be true.
   *
   * @param audioOffset place of the first frame
   * @param byteCount bytes of the file
   */
  static SeekPoints of(byte[] block, long audioOffset, long byteCount) {
    int most = Math.min(block.length / BYTES, MOST);
    long[] frames = new long[most];
    long[] offsets = new long[most];
    int count = 0;
    for (int i = 0; i < most; i++) {
      long frame = StreamInfo.number(block, i * BYTES, 8);
      long offset = StreamInfo.number(block, i * BYTES + 8, 8);
      // A place holder is −1 here.
      if (frame < 0 || offset < 0 || offset >= byteCount - audioOffset) {
        continue;
      }
      offset += audioOffset;
      if (count == 0 || (frame > frames[count - 1] && offset > offsets[count - 1])) {
        frames[count] = frame;
        offsets[count] = offset;
        count++;
      }
    }
    return new SeekPoints(Arrays.copyOf(frames, count), Arrays.copyOf(offsets, count));
  }

  int count() {
    return frames.length;
  }

  /** Index of the last point at or before {@code frame}; −1 if there is none. */
  int before(long frame) {
    int at = Arrays.binarySearch(frames, frame);
    return at >= 0 ? at : -at - 2;
  }

  long frame(int point) {
    return frames[point];
  }

  /** Place in the file. */
  long offset(int point) {
    return offsets[point];
  }
}
