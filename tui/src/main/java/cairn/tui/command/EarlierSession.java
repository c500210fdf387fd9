package cairn.tui.command;

import cairn.io.files.SafeText;
import cairn.io.session.SessionFile;
import cairn.io.session.SessionPlace;
import cairn.io.stems.StemSet;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;

/** The session that the walk has kept of an earlier export of the stems. */
final class EarlierSession {

  private EarlierSession() {}

  /**
   * That session for later stems; says so. Empty where none was kept.
   *
   * @param since the folder of the earlier export
   * @param later the later stems
   * @throws IOException if it cannot be read
   */
  static Optional<MarkSource.Saved> in(Path since, Console console, StemSet later)
      throws IOException {
    Path file =
        SessionPlace.of(since.toRealPath(), Optional.empty(), console.home().folders()).source();
    if (!Files.exists(file)) {
      return Optional.empty();
    }
    MarkSource.Saved saved = MarkSource.Saved.of(file, SessionFile.read(file), later);
    console.note(
        "faders, settings and marks are those of the session in '" + SafeText.of(since) + "'");
    return Optional.of(saved);
  }
}
