package cairn.tui.effect;

import cairn.collisions.PassMemory;
import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.time.TempoMap;
import cairn.io.files.XdgFolders;
import cairn.io.stems.StemFiles;
import cairn.io.stems.StemSet;
import cairn.io.stems.Survey;
import java.io.IOException;
import java.nio.file.Path;
import java.util.Optional;

/** What the walk was asked to open, as the command line says it. */
public interface Stems {

  /**
   * Looks into the folder.
   *
   * @throws IOException if it cannot be used; one line
   */
  StemSet scan() throws IOException;

  /**
   * Looks into the folder for the check, with what would be refused.
   *
   * @throws IOException if it cannot be used; one line
   */
  Survey survey() throws IOException;

  /** A finished track to hold the bus against. */
  default Optional<StemSet> reference() {
    return Optional.empty();
  }

  /** The user's folders. */
  default XdgFolders folders() {
    return XdgFolders.ofProcess();
  }

  /** The stems with the faders of the command line. */
  Session session(StemSet set);

  /**
   * Line, baseline, range.
   *
   * @param unlessAsked what levels are read from where the command line says nothing of it
   */
  Settings settings(Session session, PeakMode unlessAsked) throws IOException;

  /** What it says that levels are to be read from, if anything. */
  Optional<PeakMode> mode();

  /** Whether the command line says anything about those, so that the saved ones do not count. */
  boolean asksForSettings();

  /** Whether it draws a line, so that a goal kept from another session draws none. */
  default boolean drawsLine() {
    return false;
  }

  /** Whether it names a goal, which then is the next session's default. */
  default boolean namesGoal() {
    return false;
  }

  /** Whether it says anything about faders, so that the saved ones do not count. */
  boolean asksForFaders();

  /** For bars and beats. */
  Optional<TempoMap> tempo() throws IOException;

  /** Another place for the session file. */
  Optional<Path> sessionFile();

  /** Where passes over the open stems are kept. */
  default PassMemory memory(StemFiles files) {
    return PassMemory.NONE;
  }

  /** Folder of an earlier export of the stems that these are held against. */
  default Optional<Path> since() {
    return Optional.empty();
  }

  /**
   * Looks into the folder of an earlier export.
   *
   * @throws IOException if it cannot be used; one line
   */
  default StemSet scan(Path folder) throws IOException {
    throw new IOException("no earlier stems are expected");
  }

  /**
   * The stems of an earlier export, with the faders of the command line as far as they are there.
   */
  default Session earlierSession(StemSet earlier) {
    return earlier.toSession();
  }

  /** Threads that read and sum. */
  int threads();
}
