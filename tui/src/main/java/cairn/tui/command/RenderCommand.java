package cairn.tui.command;

import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.Unanalysable;
import cairn.collisions.plan.WhatIf;
import cairn.collisions.time.ClockTime;
import cairn.io.files.SafeText;
import cairn.io.files.WholeFolder;
import cairn.io.listing.Figures;
import cairn.io.render.RenderCheck;
import cairn.io.render.RenderedStems;
import cairn.io.render.StemRenderer;
import cairn.io.sound.SoundFormat;
import cairn.io.stems.StemFile;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** Writes the stems with the marks applied. */
@Command(
    name = "render",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    sortOptions = false,
    description = {
      "Writes the stems with the marks applied into a folder: same names, rate, length and coding"
          + " (FLAC stems with fixes become WAVE). A stem without fixes is copied byte for byte; in"
          + " the others only the samples of the affected stretches change, rounded to the nearest"
          + " step without dither. Faders are not written into the stems.",
      "",
      "Then it reads what it wrote, analyses it at the same line, and says whether that shows what"
          + " was told.",
      "",
      "The stems that you have are only read. What is written is music at full level: before you"
          + " listen, turn your speakers or headphones down.",
    },
    footer = {
      "",
      "Examples:",
      "  cairn render parade --to fixed               the marks of the session",
      "  cairn render parade --plan --to fixed        what the planner proposes",
      "  cairn render parade --plan --headroom 2 --keep 'lead*' --to fixed",
    })
final class RenderCommand implements Callable<Integer> {

  /** More differences than this are counted, not named. */
  private static final int NAMED_DIFFERENCES = 10;

  private final Console console;

  @Mixin private MarkSource source;

  @Option(
      names = "--to",
      required = true,
      paramLabel = "FOLDER",
      description = "The folder to write; made if it is not there.")
  private Path target;

  @Option(names = "--force", description = "Replace files of the same names in it.")
  private boolean force;

  RenderCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException, Unanalysable {
    OutputPlace.refuseAmongStems(source.options().stems(), target);
    if (!force) {
      // Said before the work, not after it.
      WholeFolder.refuseFull(target);
    }
    try (Analysing analysing = source.open(console)) {
      MarkSource.Taken taken = source.take(console, analysing, analysing.run());
      Pass pass = taken.pass();
      if (taken.marks().fixes().isEmpty()) {
        throw source.nothing(analysing, false);
      }
      if (analysing.session().faders().stream().anyMatch(fader -> !isPlain(fader))) {
        console.note("faders are not written into the stems: they stay at the desk");
      }
      try (WhatIf told = WhatIf.of(pass, analysing.files()).to(taken.marks())) {
        RenderedStems rendered;
        try (Interruptible progress = new Interruptible(analysing.progress())) {
          rendered =
              new StemRenderer(analysing.set(), analysing.files(), analysing.session(), progress)
                  .write(taken.marks(), target, force);
        } finally {
          analysing.clearBar();
        }
        noteFlac(analysing, rendered);
        noteBeyond(analysing, rendered);
        RenderCheck check;
        try {
          check =
              RenderCheck.of(
                  pass, told, analysing.set(), rendered, analysing.crew(), analysing.progress());
        } finally {
          analysing.clearBar();
        }
        console.print(lines(pass, rendered, check));
        warn(pass, check);
      }
    }
    return 0;
  }

  /** Whether a fader changes nothing but the place, which is taken back anyway. */
  private static boolean isPlain(Fader fader) {
    return fader.withOffset(0).equals(Fader.UNITY);
  }

  private void noteFlac(Analysing analysing, RenderedStems rendered) {
    List<String> names = new ArrayList<>();
    for (int k = 0; k < rendered.stems().size(); k++) {
      StemFile stem = analysing.set().stems().get(k);
      if (rendered.stems().get(k).fixes() > 0
          && stem.format().container() == SoundFormat.Container.FLAC) {
        names.add(stem.name());
      }
    }
    if (!names.isEmpty()) {
      console.note("written as WAVE, since FLAC is only read: " + String.join(", ", names));
    }
  }

  private void noteBeyond(Analysing analysing, RenderedStems rendered) {
    for (int k = 0; k < rendered.stems().size(); k++) {
      long beyond = rendered.stems().get(k).beyondFullScale();
      if (beyond > 0) {
        console.warning(
            "'"
                + analysing.set().stems().get(k).name()
                + "': "
                + Figures.count(beyond, "sample")
                + " beyond full scale, brought to it");
      }
    }
  }

  private List<String> lines(Pass pass, RenderedStems rendered, RenderCheck check) {
    long withFixes = rendered.stems().stream().filter(stem -> stem.fixes() > 0).count();
    int places = rendered.stems().stream().mapToInt(RenderedStems.Rendered::fixes).sum();
    List<String> lines = new ArrayList<>();
    lines.add(
        String.format(
            Locale.ROOT,
            "%s written to %s: %d with %s, %d copied as they are",
            Figures.count(rendered.stems().size(), "stem"),
            SafeText.of(rendered.folder()),
            withFixes,
            Figures.count(places, "fix").replaceFirst("fixs$", "fixes"),
            rendered.stems().size() - withFixes));
    lines.add(
        String.format(
            Locale.ROOT,
            "bus peak       %6s %s before, %s told, %s got",
            Figures.db(pass.peak(), 2),
            pass.line().mode().unit(),
            Figures.db(check.toldPeak(), 2),
            Figures.db(check.gotPeak(), 2)));
    lines.add(
        String.format(
            Locale.ROOT,
            "over the line  %6d moments before, %d told, %d got",
            pass.moments().size(),
            check.toldRuns().size(),
            check.gotRuns().size()));
    lines.add(
        check.holds()
            ? "The second analysis shows what was told, but for the rounding of the samples."
            : "The second analysis differs from what was told: see below.");
    return lines;
  }

  private void warn(Pass pass, RenderCheck check) {
    if (check.holds()) {
      return;
    }
    int rate = pass.session().sampleRateHz();
    List<RenderCheck.Difference> all = check.differences();
    for (RenderCheck.Difference difference :
        all.subList(0, Math.min(NAMED_DIFFERENCES, all.size()))) {
      console.warning(
          "at "
              + ClockTime.of(difference.frame(), rate)
              + ": told "
              + level(difference.told(), pass)
              + ", got "
              + level(difference.got(), pass));
    }
    if (all.size() > NAMED_DIFFERENCES) {
      console.warning("and in " + (all.size() - NAMED_DIFFERENCES) + " more places");
    }
  }

  private static String level(double level, Pass pass) {
    String unit = pass.line().mode().unit();
    return level > 0 ? Figures.db(level, 2) + " " + unit : "nothing over the line";
  }
}
