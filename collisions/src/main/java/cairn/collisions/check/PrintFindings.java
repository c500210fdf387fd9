package cairn.collisions.check;

import cairn.collisions.Session;
import cairn.collisions.check.Finding.Kind;
import cairn.collisions.spectrum.Alignment;
import cairn.collisions.time.ClockTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/** Says what a bounced mix tells about the stems. Limits are our choice where none is named. */
public final class PrintFindings {

  private static final double GAIN_SEEN_DB = 0.05;

  /** A shift that any look at the arrangement shows; less may be the latency of an export. */
  private static final double LONG_SHIFT_SECONDS = 1;

  /** A rest so far below the mix adds less than 0.1 dB to a peak. */
  private static final double REST_MATTERS_DB = -40;

  private static final String HERE = "in the bounced mix";

  private PrintFindings() {}

  /** The mix has another rate than the stems. */
  public static Finding otherRate(String name, int rateHz, int stemsRateHz) {
    return new Finding(
        Kind.PRINT,
        "the mix '"
            + name
            + "' has "
            + rateHz
            + " Hz, the stems "
            + stemsRateHz
            + " Hz: it was not compared",
        HERE,
        Weight.MATTERS,
        "bounce it again at " + stemsRateHz + " Hz");
  }

  /** The mix, or the bus, is silent. */
  public static Finding silent(String name) {
    return new Finding(
        Kind.PRINT,
        "the mix '" + name + "' and the stems have no sound in common: one of them is silent",
        HERE,
        Weight.MATTERS,
        "name the right file, or export again");
  }

  /** The mix does not fit anywhere. */
  public static Finding otherSong(String name, Alignment best) {
    return new Finding(
        Kind.PRINT,
        String.format(
            Locale.ROOT,
            "the mix '%s' is of another song, or of another version: nowhere does it fit the sum"
                + " of the stems (correlation %.2f at best)",
            name,
            Math.abs(best.correlation())),
        HERE,
        Weight.MATTERS,
        "name the mix that these stems were exported from");
  }

  /** What the comparison tells. */
  public static List<Finding> of(
      Session session, String name, long printFrames, PrintComparison comparison) {
    List<Finding> findings = new ArrayList<>();
    int rate = session.sampleRateHz();
    long lag = comparison.alignment().lagFrames();
    length(name, session.frames(), printFrames, lag, rate).ifPresent(findings::add);
    if (lag != 0) {
      boolean isLong = Math.abs(lag) >= LONG_SHIFT_SECONDS * rate;
      findings.add(
          new Finding(
              Kind.PRINT_OFFSET,
              String.format(
                  Locale.ROOT,
                  "the mix '%s' lies %d samples (%s) %s than the stems",
                  name,
                  Math.abs(lag),
                  isLong
                      ? String.format(Locale.ROOT, "%.3f s", Math.abs(lag) / (double) rate)
                      : String.format(Locale.ROOT, "%.2f ms", 1000.0 * Math.abs(lag) / rate),
                  lag > 0 ? "later" : "earlier"),
              HERE,
              Weight.MINOR,
              "keep the shift in mind: times here are those of the stems, and the comparison was"
                  + " made with the shift taken out"));
    }
    if (comparison.reversed()) {
      findings.add(
          new Finding(
              Kind.PRINT_POLARITY,
              "the mix '" + name + "' has the polarity reversed against the stems",
              HERE,
              Weight.MINOR,
              "find out which of both is right; levels and moments are the same"));
    }
    if (Math.abs(comparison.gainDb()) >= GAIN_SEEN_DB) {
      findings.add(
          new Finding(
              Kind.PRINT_GAIN,
              String.format(
                  Locale.ROOT,
                  "the mix '%s' is %.2f dB %s than the sum of the stems",
                  name,
                  Math.abs(comparison.gainDb()),
                  comparison.gainDb() > 0 ? "louder" : "softer"),
              HERE,
              Weight.MINOR,
              "set the master fader so, if levels are to be those of the mix"));
    }
    for (PrintComparison.StemInPrint stem : comparison.differing()) {
      findings.add(stem(session.stems().get(stem.stem()).name(), stem));
    }
    if (comparison.dynamics().isPresent()) {
      findings.add(
          new Finding(
              Kind.PRINT_DYNAMICS,
              String.format(
                  Locale.ROOT,
                  "the mix '%s' went through dynamics on the bus: its loudest places stand %.1f dB"
                      + " lower than in the sum (null test: %s)",
                  name,
                  comparison.dynamics().get().downDb(),
                  level(comparison.restDb())),
              "most of the rest at " + ClockTime.of(comparison.restAt(), rate),
              Weight.MATTERS,
              "hunt in the sum: the moments found there are what drives the bus processing"));
    } else if (comparison.restDb() > REST_MATTERS_DB) {
      findings.add(
          new Finding(
              Kind.PRINT_REST,
              String.format(
                  Locale.ROOT,
                  "the mix '%s' holds something that no stem does: the null test leaves %s",
                  name,
                  level(comparison.restDb())),
              "most of it at " + ClockTime.of(comparison.restAt(), rate),
              Weight.MATTERS,
              "look there for a stem that was not exported, an effect return, or processing on the"
                  + " bus"));
    }
    return findings;
  }

  private static Optional<Finding> length(
      String name, long songFrames, long printFrames, long lag, int rate) {
    long startsLate = lag < 0 ? -lag : 0;
    long endsEarly = Math.max(0, songFrames + lag - printFrames);
    double missing = (startsLate + endsEarly) / (double) rate;
    if (missing < 0.5) {
      long more = printFrames - songFrames;
      return Math.abs(more) < rate / 2.0
          ? Optional.empty()
          : Optional.of(
              new Finding(
                  Kind.PRINT_LENGTH,
                  String.format(
                      Locale.ROOT,
                      "the mix '%s' is %.3f s %s than the stems; it covers all of them",
                      name,
                      Math.abs(more) / (double) rate,
                      more > 0 ? "longer" : "shorter"),
                  HERE,
                  Weight.MINOR,
                  "look whether stems lack their tails"));
    }
    return Optional.of(
        new Finding(
            Kind.PRINT_LENGTH,
            String.format(
                Locale.ROOT,
                "the mix '%s' is shorter than the song: it covers %s to %s of the stems",
                name,
                ClockTime.of(startsLate, rate),
                ClockTime.of(Math.max(startsLate, songFrames - endsEarly), rate)),
            HERE,
            Weight.MINOR,
            "bounce the whole song to have all of it compared"));
  }

  private static Finding stem(String name, PrintComparison.StemInPrint stem) {
    if (stem.isMissing()) {
      return new Finding(
          Kind.PRINT_STEM,
          "'" + name + "' is missing in the mix, or at least 20 dB softer there",
          HERE,
          Weight.MATTERS,
          "find out whether it belongs to the song: leave it out (--mute), or have the mix bounced"
              + " with it");
    }
    double db = 20 * Math.log10(Math.abs(stem.factor()));
    return new Finding(
        Kind.PRINT_STEM,
        String.format(
            Locale.ROOT,
            "'%s' is %.1f dB %s in the mix than in the stems%s",
            name,
            Math.abs(db),
            db > 0 ? "louder" : "softer",
            stem.factor() < 0 ? ", with reversed polarity" : ""),
        HERE,
        Weight.MATTERS,
        String.format(
            Locale.ROOT, "set its fader (--gain '%s=%.1f'), or export it again", name, db));
  }

  private static String level(double restDb) {
    return restDb == Double.NEGATIVE_INFINITY
        ? "nothing"
        : String.format(Locale.ROOT, "a rest of %.1f dB against the mix", restDb);
  }
}
