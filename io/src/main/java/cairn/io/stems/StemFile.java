package cairn.io.stems;

import cairn.collisions.Stem;
import cairn.io.sound.BroadcastInfo;
import cairn.io.sound.SoundFormat;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import java.util.Optional;

/**
 * One stem and the file, or the pair of files, that it comes from.
 *
 * @param name the name it is shown by, unique in its set and safe to show: the file name without
 *     the ending, of a pair without the L too
 * @param group the sub-folder of the first level that it lies in, safe to show
 * @param relativePath the path from the set's folder to the (left) file, {@code /} between names,
 *     safe to show; to open the file take {@code paths}
 * @param paths the file, or the left and the right one, as the system names them
 * @param format what the (left) file holds; of a pair each file has one channel
 * @param channels 1 or 2
 * @param frames length in frames, at least 1
 * @param broadcast the {@code bext} chunk of the (left) file, or else of the right one
 * @param offset frames by which it starts later on the bus, at least 0
 */
public record StemFile(
    String name,
    Optional<String> group,
    String relativePath,
    List<Path> paths,
    SoundFormat format,
    int channels,
    long frames,
    Optional<BroadcastInfo> broadcast,
    long offset) {

  public StemFile {
    Objects.requireNonNull(name, "name");
    Objects.requireNonNull(group, "group");
    Objects.requireNonNull(relativePath, "relativePath");
    Objects.requireNonNull(format, "format");
    Objects.requireNonNull(broadcast, "broadcast");
    paths = List.copyOf(paths);
    if (paths.isEmpty() || paths.size() > 2) {
      throw new IllegalArgumentException("paths must be 1 or 2: paths=" + paths.size());
    }
    if (offset < 0) {
      throw new IllegalArgumentException("offset must be >= 0: offset=" + offset);
    }
  }

  /** Whether two mono files make it up. */
  public boolean isPair() {
    return paths.size() == 2;
  }

  /** The stem as the rules see it. */
  public Stem toStem() {
    return new Stem(name, channels, frames);
  }

  StemFile withOffset(long newOffset) {
    return new StemFile(
        name, group, relativePath, paths, format, channels, frames, broadcast, newOffset);
  }
}
