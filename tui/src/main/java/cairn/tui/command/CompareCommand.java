package cairn.tui.command;

import cairn.collisions.Session;
import cairn.collisions.loudness.KWeighting;
import cairn.collisions.spectrum.Difference;
import cairn.collisions.spectrum.Portrait;
import cairn.io.files.SafeText;
import cairn.io.listing.CompareJson;
import cairn.io.listing.CompareReport;
import cairn.io.listing.CompareText;
import cairn.io.stems.ScanOptions;
import cairn.io.stems.StemFiles;
import cairn.io.stems.StemFolder;
import cairn.io.stems.StemSet;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Holds the bus against a finished track, or against another session. */
@Command(
    name = "compare",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    sortOptions = false,
    description = {
      "Holds the sum of the stems against a finished track (--reference): peak, integrated"
          + " loudness, peak-to-loudness ratio, and the long-term spectrum in third-octave bands,"
          + " the track brought to the loudness of the sum. It may have another sample rate.",
      "",
      "Or holds two sessions against each other (STEMS OTHER) at equal peak, both at 0 dBFS"
          + " sample peak: what one has gained in loudness by its peaks shows there. Bands that"
          + " are off by 3 dB and more are named.",
    },
    footer = {
      "",
      "Examples:",
      "  cairn compare parade --reference track.wav   is the spectrum where it should be?",
      "  cairn compare parade parade-fixed            what did the fixes win?",
      "",
      "A louder sound seems better: compare by ear at equal loudness, and turn the monitors down"
          + " before you do.",
    })
final class CompareCommand implements Callable<Integer> {

  private final Console console;

  @Spec private CommandSpec spec;

  @Parameters(
      index = "0",
      paramLabel = "STEMS",
      description = "A folder of stems, or one file: WAVE, AIFF, FLAC.")
  private Path stems;

  @Parameters(
      index = "1",
      arity = "0..1",
      paramLabel = "OTHER",
      description = "Another folder of stems, or one file.")
  private Path other;

  @Option(
      names = "--reference",
      paramLabel = "FILE",
      description = "A finished track to hold the sum against.")
  private Path reference;

  @Option(names = "--json", description = "Print JSON (schema cairn-compare/1).")
  private boolean json;

  @Option(names = "--no-pairs", description = "Keep two mono files named ... L and ... R apart.")
  private boolean noPairs;

  CompareCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException {
    if ((other == null) == (reference == null)) {
      throw new ParameterException(
          spec.commandLine(),
          other == null
              ? "compare needs something to compare with: --reference FILE, or a second folder"
              : "--reference and a second folder: leave one out");
    }
    Portrait here = portrait(stems, !noPairs);
    Path with = other == null ? reference : other;
    Portrait there = portrait(with, !noPairs && with != reference);
    CompareReport report = report(name(stems), here, name(with), there, reference != null);
    if (json) {
      console.print(out -> CompareJson.write(report, out));
    } else {
      console.print(CompareText.lines(report));
    }
    return 0;
  }

  /**
   * The sum of a session beside a finished track.
   *
   * @param name what the session is called, safe to show
   * @param reference the track
   */
  static CompareReport withReference(Session session, StemFiles files, String name, Path reference)
      throws IOException {
    Portrait there = portrait(reference, false);
    Portrait here = Portrait.ofBus(session, files);
    if (here.peakDb() == Double.NEGATIVE_INFINITY) {
      throw new IOException(
          "'" + name + "' is silent: there is nothing to compare; look at --mute and --gain");
    }
    return report(name, here, name(reference), there, true);
  }

  private static CompareReport report(
      String name, Portrait here, String otherName, Portrait there, boolean isReference)
      throws IOException {
    double gainDb =
        isReference
            ? loudness(name, here) - loudness(otherName, there)
            : here.peakDb() - there.peakDb();
    return new CompareReport(
        name, otherName, isReference, here, there, gainDb, Difference.of(here, there, gainDb));
  }

  private static Portrait portrait(Path path, boolean pairs) throws IOException {
    StemSet set = StemFolder.scan(List.of(path), ScanOptions.DEFAULT.withPairs(pairs));
    try (StemFiles files = set.open()) {
      Portrait portrait = Portrait.ofBus(set.toSession(), files);
      files.verifyUnchanged();
      if (portrait.peakDb() == Double.NEGATIVE_INFINITY) {
        throw new IOException(
            "'" + name(path) + "' is silent: there is nothing to compare; name another");
      }
      return portrait;
    }
  }

  /** Loudness, or the reason why there is none. */
  private static double loudness(String name, Portrait portrait) throws IOException {
    if (portrait.integratedLufs().isPresent()) {
      return portrait.integratedLufs().getAsDouble();
    }
    int rate = portrait.sampleRateHz();
    String why =
        !KWeighting.covers(rate)
            ? "loudness is measured from 8 to 384 kHz, it has " + rate + " Hz"
            : portrait.frames() < 0.4 * rate
                ? String.format(
                    Locale.ROOT,
                    "loudness takes 400 ms at least, it has %.0f ms",
                    1000.0 * portrait.frames() / rate)
                : "all of it is below -70 LUFS";
    throw new IOException(
        "'" + name + "' has no loudness to be matched by: " + why + "; name another");
  }

  private static String name(Path path) {
    Path last = path.getFileName();
    return SafeText.of(last == null ? path : last);
  }
}
