package cairn.io.stems;

import cairn.collisions.Fader;
import cairn.collisions.Session;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import java.util.Optional;

/**
 * The stems found in a folder, in session order, and what was passed over. Immutable, and holds
 * nothing open.
 *
 * @param folder the folder that all stems lie in, absolute
 * @param sampleRateHz common sample rate in Hz
 * @param stems at least one
 * @param skipped what is no stem, in the order of paths
 * @param notes what was found or done on the way
 */
public record StemSet(
    Path folder, int sampleRateHz, List<StemFile> stems, List<Skipped> skipped, List<Note> notes) {

  /** More skipped files than this are counted, not named, in one line. */
  private static final int NAMED_SKIPPED = 12;

  public StemSet {
    Objects.requireNonNull(folder, "folder");
    stems = List.copyOf(stems);
    skipped = List.copyOf(skipped);
    notes = List.copyOf(notes);
    if (stems.isEmpty()) {
      throw new IllegalArgumentException("stems must not be empty");
    }
  }

  /** The stems with all faders at unity, each at its offset. */
  public Session toSession() {
    return new Session(
        sampleRateHz,
        0,
        stems.stream().map(StemFile::toStem).toList(),
        stems.stream().map(s -> Fader.UNITY.withOffset(s.offset())).toList());
  }

  /**
   * Opens all files.
   *
   * @throws IOException as {@link StemFiles#open}
   */
  public StemFiles open() throws IOException {
    return StemFiles.open(this);
  }

  /** All files of the stems; none of them is ever written over. */
  public List<Path> inputs() {
    return stems.stream().flatMap(s -> s.paths().stream()).toList();
  }

  /** One line that names what was skipped, safe to show; empty if there was nothing. */
  public Optional<String> skippedLine() {
    if (skipped.isEmpty()) {
      return Optional.empty();
    }
    StringBuilder line = new StringBuilder("skipped: ");
    int named = Math.min(skipped.size(), NAMED_SKIPPED);
    for (int i = 0; i < named; i++) {
      Skipped file = skipped.get(i);
      line.append(i == 0 ? "" : ", ")
          .append('\'')
          .append(file.shown())
          .append("' (")
          .append(file.reason())
          .append(')');
    }
    if (named < skipped.size()) {
      line.append(" and ").append(skipped.size() - named).append(" more");
    }
    return Optional.of(line.toString());
  }
}
