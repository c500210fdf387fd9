package cairn.collisions.check;

import cairn.collisions.Decibels;
import cairn.collisions.Session;
import cairn.collisions.check.Finding.Kind;
import cairn.collisions.time.ClockTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** Says what the samples of the stems tell. Limits are our choice where no source is named. */
public final class StemFindings {

  /** An offset of −46 dBFS moves a peak of −6 dBFS by 0.09 dB, of several stems by more. */
  private static final double OFFSET_MATTERS = 0.005;

  private static final double OFFSET_SEEN = 0.001;

  /** As for the bus: definitions.md, 2. */
  private static final double SILENT = Decibels.toFactor(-70);

  private StemFindings() {}

  /** What one stem's own samples tell. */
  public static List<Finding> of(String name, StemAudit audit, int sampleRateHz) {
    List<Finding> findings = new ArrayList<>();
    String quoted = "'" + name + "'";
    if (audit.peak() <= SILENT) {
      findings.add(
          new Finding(
              Kind.SILENT,
              audit.peak() == 0
                  ? quoted + " is silent from end to end"
                  : String.format(
                      Locale.ROOT,
                      "%s is as good as silent: never above %.1f dBFS",
                      quoted,
                      Decibels.ofAmplitude(audit.peak())),
              "all of it",
              Weight.MATTERS,
              "export it again unmuted, or leave it out if it is meant to be silent"));
      return findings;
    }
    StemAudit.FlatTops tops = audit.flatTops();
    if (tops.runs() > 0) {
      findings.add(
          new Finding(
              Kind.CLIPPED,
              String.format(
                  Locale.ROOT,
                  "%s is clipped: %s flat at %.2f dBFS, the longest over %d samples",
                  quoted,
                  tops.runs() == 1 ? "1 crest is" : tops.runs() + " crests are",
                  Decibels.ofAmplitude(tops.level()),
                  tops.longest()),
              "first at " + ClockTime.of(tops.firstFrame(), sampleRateHz),
              Weight.MATTERS,
              "export it again lower; else its true peaks are gone, and what is found on these"
                  + " samples is the clipped sum"));
    }
    if (audit.peak() > 1) {
      findings.add(
          new Finding(
              Kind.OVER_FULL_SCALE,
              String.format(
                  Locale.ROOT,
                  "%s goes %.2f dB over full scale; in floating point nothing is lost by that",
                  quoted,
                  Decibels.ofAmplitude(audit.peak())),
              "",
              Weight.MINOR,
              "keep it in floating point, or turn it down before it is made whole numbers"));
    }
    double offset = audit.offset();
    if (Math.abs(offset) >= OFFSET_SEEN) {
      findings.add(
          new Finding(
              Kind.OFFSET,
              String.format(
                  Locale.ROOT,
                  "%s has a constant offset of %.4f (%.1f dBFS), which moves every peak of the bus",
                  quoted,
                  offset,
                  Decibels.ofAmplitude(Math.abs(offset))),
              "all of it",
              Math.abs(offset) >= OFFSET_MATTERS ? Weight.MATTERS : Weight.MINOR,
              "take the offset away with a high-pass filter below 20 Hz and export it again"));
    }
    return findings;
  }

  /** What stems have in common. */
  public static List<Finding> of(Session session, Likeness likeness) {
    List<Finding> findings = new ArrayList<>();
    for (Likeness.Twins twins : likeness.twins()) {
      String first = "'" + session.stems().get(twins.first()).name() + "'";
      String second = "'" + session.stems().get(twins.second()).name() + "'";
      String gain =
          Math.abs(twins.gainDb()) < 0.005
              ? ""
              : String.format(
                  Locale.ROOT,
                  ", %.2f dB %s",
                  Math.abs(twins.gainDb()),
                  twins.gainDb() > 0 ? "louder" : "softer");
      findings.add(
          twins.inverted()
              ? new Finding(
                  Kind.INVERTED,
                  second + " is the same audio as " + first + " upside down" + gain,
                  "all of it",
                  Weight.MATTERS,
                  "leave one of them out (--mute), or turn its polarity: together they cancel each"
                      + " other")
              : new Finding(
                  Kind.DOUBLE,
                  second + " is the same audio as " + first + gain,
                  "all of it",
                  Weight.MATTERS,
                  "leave one of them out (--mute), unless both are in the mix: together they stand"
                      + " up to 6 dB too high"));
    }
    for (Likeness.FullMix mix : likeness.fullMixes()) {
      findings.add(
          new Finding(
              Kind.FULL_MIX,
              String.format(
                  Locale.ROOT,
                  "'%s' is a mix of the other stems: they make it up to a correlation of %.2f,"
                      + " most of them %.1f dB %s",
                  session.stems().get(mix.stem()).name(),
                  mix.correlation(),
                  Math.abs(mix.gainDb()),
                  mix.gainDb() < 0 ? "softer there" : "louder there"),
              "all of it",
              Weight.MATTERS,
              "leave it out (--mute), or every moment counts twice; it can serve as --print"));
    }
    return findings;
  }
}
