package cairn.tui.command;

import cairn.demo.DemoSong;
import cairn.demo.DemoStems;
import cairn.io.files.SafeText;
import java.io.IOException;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Writes the demo stems. */
@Command(
    name = "demo",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    description = {
      "Writes the stems of a carnival parade band, made up for trying cairn: 16 stems of about 100"
          + " seconds, with collisions planted in them. What was planted where stands beside them"
          + " in planted-collisions.csv.",
      "",
      "It is music at full level: before you listen, turn your speakers or headphones down.",
    })
final class DemoCommand implements Callable<Integer> {

  private final Console console;

  @Parameters(paramLabel = "FOLDER", description = "The folder to write; made if it is not there.")
  private Path folder;

  @Option(
      names = "--seed",
      paramLabel = "N",
      defaultValue = "" + DemoSong.DEFAULT_SEED,
      description = "Another seed makes another performance. Default: ${DEFAULT-VALUE}.")
  private long seed;

  @Option(names = "--force", description = "Write over an earlier demo.")
  private boolean force;

  @Spec private CommandSpec spec;

  DemoCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException {
    if (folder.toString().isEmpty()) {
      // The system takes the empty name for the current folder, which nobody meant.
      throw new ParameterException(
          spec.commandLine(),
          "FOLDER must have a name, not ''; the folder that you are in is called .");
    }
    DemoStems.write(folder, seed, force);
    console.note("written to " + SafeText.of(folder));
    return 0;
  }
}
