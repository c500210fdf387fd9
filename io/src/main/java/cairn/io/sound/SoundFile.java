package cairn.io.sound;

import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;

/** An open sound file: its headers are read and checked, its samples are not. */
public interface SoundFile extends Closeable {

  /** The file. */
  Path path();

  /** What it holds; at least one frame, one or two channels. */
  SoundFormat format();

  /** The {@code bext} chunk, where there is one. */
  Optional<BroadcastInfo> broadcast();

  /**
   * What was wrong with the file but could be mended, one line each without the file's name: {@code
   * data chunk says 1000 bytes, the file holds 12: read what is there}.
   */
  List<String> mended();

  /** A reader for one thread; readers of one file may be used side by side. */
  SoundReader openReader() throws IOException;

  /**
   * As {@link #openReader()}, for reading forwards in steps: the reader may fetch so many bytes
   * ahead once it sees that it is read so.
   *
   * @param aheadBytes most bytes to hold, at least 0
   */
  default SoundReader openReader(int aheadBytes) throws IOException {
    return openReader();
  }

  /**
   * How many bits the samples have, where they are whole numbers of at most 24 bits and {@link
   * SoundReader#readWhole} gives them as such; else 0.
   */
  default int wholeBits() {
    return 0;
  }
}
