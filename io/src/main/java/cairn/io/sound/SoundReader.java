package cairn.io.sound;

import cairn.collisions.port.SliceTaker;
import java.io.Closeable;
import java.io.IOException;

/** One thread's way to the samples of one sound file. */
public interface SoundReader extends Closeable {

  /**
   * Writes {@code into[0 : channels][at : at + frames]}, 1.0 = full scale, exactly as the file has
   * it. Reading forwards is the fast way, any order is allowed.
   *
   * @param firstFrame first frame to read, at least 0
   * @param frames number of frames; {@code firstFrame + frames} is at most the file's length
   * @throws UnusableStem if the file is damaged there, was cut short since it was opened, or holds
   *     a value that is not finite; the message names the file and the place
   * @throws IOException if it cannot be read
   */
  void read(long firstFrame, int frames, double[][] into, int at) throws IOException;

  /**
   * Reads as {@link #read} does, and hands over each slice as soon as it is there; as {@link
   * cairn.collisions.port.StemReader#readSlices}.
   */
  default void readSlices(long firstFrame, int frames, double[][] into, int at, SliceTaker taker)
      throws IOException {
    read(firstFrame, frames, into, at);
    taker.take(at, at + frames, SliceTaker.UNKNOWN);
  }

  /**
   * Reads whole numbers, slice after slice; as {@link cairn.collisions.port.StemReader#readWhole}.
   * Only for files that have {@link SoundFile#wholeBits}.
   */
  default void readWhole(long firstFrame, int frames, int[][] words, SliceTaker taker)
      throws IOException {
    throw new UnsupportedOperationException("no whole numbers");
  }
}
