package cairn.collisions.signal;

import cairn.collisions.Session;
import java.io.IOException;

/** A two-channel sound that can be read at any place: the bus, or one file. For one thread. */
public interface Sound {

  /** Length in frames. */
  long frames();

  /**
   * Writes {@code into[0 : 2][0 : frames]}, the sound from {@code firstFrame} on; silence before
   * frame 0 and after the last one.
   */
  void read(long firstFrame, int frames, double[][] into) throws IOException;

  /** The bus of a session. */
  static Sound ofBus(Session session, MixDown mixDown) {
    long length = session.frames();
    return new Sound() {
      @Override
      public long frames() {
        return length;
      }

      @Override
      public void read(long firstFrame, int frames, double[][] into) throws IOException {
        mixDown.sum(firstFrame, frames, into);
      }
    };
  }
}
