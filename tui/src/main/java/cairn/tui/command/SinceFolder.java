package cairn.tui.command;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import picocli.CommandLine;
import picocli.CommandLine.ParameterException;

/** What {@code --since} may name, as far as it can be told before any stem is read. */
final class SinceFolder {

  private SinceFolder() {}

  /**
   * Refuses what cannot be compared with.
   *
   * @throws ParameterException if the folder cannot be meant
   */
  static void check(CommandLine commandLine, Path since, SessionOptions options)
      throws IOException {
    String typed = "--since " + since;
    if (options.movesLine()) {
      throw new ParameterException(
          commandLine,
          "--since holds one line for the whole song: leave out --baseline local, or give a --line");
    }
    if (since.toString().isEmpty() || !Files.isDirectory(since)) {
      throw new ParameterException(
          commandLine,
          "--since takes the folder of an earlier export of the stems: "
              + typed
              + (Files.exists(since) && !since.toString().isEmpty()
                  ? " is no folder"
                  : " is not there"));
    }
    Path old = since.toRealPath();
    for (Path stems : options.stems()) {
      if (!Files.exists(stems)) {
        // Said where the stems are looked for.
        continue;
      }
      Path now = stems.toRealPath();
      if (now.equals(old)) {
        throw new ParameterException(
            commandLine, typed + " names the stems themselves; name an earlier export of them");
      }
      if (old.startsWith(now)) {
        throw new ParameterException(
            commandLine,
            typed
                + " lies inside '"
                + stems
                + "' and would be summed with it; move it out of there");
      }
      if (now.startsWith(old)) {
        throw new ParameterException(
            commandLine,
            "'"
                + stems
                + "' lies inside "
                + typed
                + " and would be summed with it; move it out"
                + " of there");
      }
    }
  }
}
