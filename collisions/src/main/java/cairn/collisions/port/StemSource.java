package cairn.collisions.port;

import java.io.IOException;

/** Where the samples of a session's stems come from. */
public interface StemSource {

  /**
   * Opens a reader for one thread. The caller closes it; that leaves the source itself open.
   *
   * @throws IOException if a stem cannot be opened any more
   */
  StemReader openReader() throws IOException;
}
