package cairn.collisions.port;

import java.io.Closeable;
import java.io.IOException;

/**
 * One thread's way to the samples of all stems of a session.
 *
 * <p>A reader is used by one thread at a time; different readers of one {@link StemSource} may be
 * used side by side. Reading forwards in steps is the fast way, but any order is allowed.
 */
public interface StemReader extends Closeable {

  /**
   * Writes {@code into[0 : channels][at : at + frames]}, the samples of the stem as they are in its
   * file, 1.0 = 0 dBFS, before any fader. {@code channels} is the stem's own number of channels.
   *
   * @param stem index of the stem in the session, from 0
   * @param firstFrame first frame of the file to read, at least 0
   * @param frames number of frames; {@code firstFrame + frames} is at most the stem's length
   * @param into planar block of the caller
   * @param at first frame of the block to write
   * @throws IOException if the file cannot be read, is damaged, or holds a value that is not finite
   */
  void read(int stem, long firstFrame, int frames, double[][] into, int at) throws IOException;

  /**
   * Reads as {@link #read} does, and hands over each slice as soon as it is there: what is done
   * with it then still finds it in the processor's cache. Slices come in order, a few hundred to a
   * few thousand frames long, and cover the block.
   *
   * @param taker is given every slice
   * @throws IOException as in {@link #read}
   */
  default void readSlices(
      int stem, long firstFrame, int frames, double[][] into, int at, SliceTaker taker)
      throws IOException {
    read(stem, firstFrame, frames, into, at);
    taker.take(at, at + frames, SliceTaker.UNKNOWN);
  }

  /**
   * How many bits the samples of a stem have, where they are whole numbers of at most 24 bits and
   * {@link #readWhole} gives them as such; else 0.
   *
   * @param stem index of the stem in the session, from 0
   */
  default int wholeBits(int stem) {
    return 0;
  }

  /**
   * Reads a stem as whole numbers, slice after slice: each is written into {@code words[0 :
   * channels][0 : to − from]}, every sample in the upper {@link #wholeBits} bits of a word, and
   * handed over before the next. What is in the bits below means nothing. All slices are as long as
   * {@code words} but the last.
   *
   * @param stem index of a stem that has {@link #wholeBits}
   * @param firstFrame as in {@link #read}
   * @param frames as in {@link #read}
   * @param words two channels
   * @param taker is given every slice, as frames {@code [from, to)} of those read
   * @throws IOException as in {@link #read}
   */
  default void readWhole(int stem, long firstFrame, int frames, int[][] words, SliceTaker taker)
      throws IOException {
    throw new UnsupportedOperationException("no whole numbers: stem=" + stem);
  }
}
