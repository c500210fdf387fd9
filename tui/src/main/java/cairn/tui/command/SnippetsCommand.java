package cairn.tui.command;

import cairn.collisions.Pass;
import cairn.collisions.Unanalysable;
import cairn.collisions.cue.CueList;
import cairn.collisions.plan.WhatIf;
import cairn.collisions.time.TimeNotation;
import cairn.io.files.SafeText;
import cairn.io.files.WholeFolder;
import cairn.io.snippets.SnippetFolder;
import java.io.IOException;
import java.nio.file.Path;
import java.util.Locale;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Writes short sounds of each marked moment, before and after. */
@Command(
    name = "snippets",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    sortOptions = false,
    description = {
      "Writes two short WAVE files of the bus for each marked moment, before and after, and an"
          + " index.csv that says what is in them. All have one gain, so that they can be compared:"
          + " the loudest 400 ms of any of them come to -20 LUFS, or lower with --level.",
      "",
      "Peaks stand out at any level: start with your speakers or headphones turned down, and do not"
          + " turn them up for a quiet snippet.",
    },
    footer = {
      "",
      "Examples:",
      "  cairn snippets parade --to listen            the marks of the session",
      "  cairn snippets parade --plan --to listen     what the planner proposes",
    })
final class SnippetsCommand implements Callable<Integer> {

  private static final double MOST_LUFS = -20;

  private final Console console;

  @Spec private CommandSpec spec;

  @Mixin private MarkSource source;

  @Option(
      names = "--to",
      required = true,
      paramLabel = "FOLDER",
      description = "The folder to write; made if it is not there.")
  private Path target;

  @Option(names = "--force", description = "Replace files of the same names in it.")
  private boolean force;

  @Option(
      names = "--around",
      paramLabel = "SECONDS",
      defaultValue = "1.5",
      description = "How much on either side of the peak. Default: ${DEFAULT-VALUE}.")
  private double around;

  @Option(
      names = "--level",
      paramLabel = "LUFS",
      defaultValue = "-20",
      description = "The loudest that they get, -20 or below. Default: ${DEFAULT-VALUE}.")
  private double levelLufs;

  SnippetsCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException, Unanalysable {
    if (!(around >= 0.05 && around <= 30)) {
      throw wrong("--around must be 0.05 to 30 seconds: --around " + around);
    }
    if (!(levelLufs <= MOST_LUFS && levelLufs >= -70)) {
      throw wrong("--level must be -70 to -20 LUFS: --level " + levelLufs);
    }
    OutputPlace.refuseAmongStems(source.options().stems(), target);
    if (!force) {
      // Said before the work, not after it.
      WholeFolder.refuseFull(target);
    }
    try (Analysing analysing = source.open(console)) {
      MarkSource.Taken taken = source.take(console, analysing, analysing.run());
      Pass pass = taken.pass();
      CueList list = CueList.of(pass, taken.marks(), TimeNotation.CLOCK, taken.done());
      if (list.isEmpty()) {
        throw source.nothing(analysing, false);
      }
      try (WhatIf told = WhatIf.of(pass, analysing.files()).to(taken.marks());
          Interruptible progress = new Interruptible(analysing.progress())) {
        SnippetFolder.Written written =
            new SnippetFolder(pass, told, analysing.files(), progress)
                .write(list, around, levelLufs, target, force);
        analysing.clearBar();
        console.note(
            String.format(
                Locale.ROOT,
                "written to %s: %d moments before and after, all turned down by %.1f dB (nothing"
                    + " above %.0f LUFS)",
                SafeText.of(target),
                written.moments(),
                Math.abs(written.gainDb()),
                levelLufs));
      } finally {
        analysing.clearBar();
      }
    }
    return 0;
  }

  private ParameterException wrong(String message) {
    return new ParameterException(spec.commandLine(), message);
  }
}
