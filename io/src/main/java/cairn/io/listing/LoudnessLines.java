package cairn.io.listing;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.PeakMode;
import cairn.collisions.loudness.Goal;
import cairn.collisions.loudness.LimiterWork;
import cairn.collisions.loudness.Loudness;
import cairn.collisions.loudness.LoudnessSummary;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;

/** Loudness and limiter work of a pass as lines for people. */
final class LoudnessLines {

  private LoudnessLines() {}

  /** Loudness and peaks of the bus; nothing where it was not metered. */
  static List<String> ofBus(Pass pass) {
    List<String> lines = new ArrayList<>();
    if (pass.loudness().isPresent()) {
      LoudnessSummary metered = pass.loudness().get();
      Loudness whole = Loudness.of(metered.bus());
      Loudness loudPart = Loudness.of(metered.bus(), pass.line().loudPart());
      lines.add(loudness(pass, whole, loudPart));
      OptionalDouble integrated = whole.integratedLufs();
      lines.add(
          String.format(
              Locale.ROOT,
              "true peak     %6s dBTP; peak to loudness %s dB, crest factor %s dB",
              Figures.db(metered.busTruePeak(), 2),
              integrated.isPresent()
                  ? Figures.fixed(Decibels.ofAmplitude(pass.peak()) - integrated.getAsDouble(), 1)
                  : "-",
              Figures.fixed(metered.busCrestDb(pass.peak()), 1)));
    }
    return lines;
  }

  private static String loudness(Pass pass, Loudness whole, Loudness loudPart) {
    if (whole.integratedLufs().isEmpty()) {
      // The shortest block that is measured: ITU-R BS.1770-5, Annex 1.
      boolean tooShort = pass.range().frames() < 0.4 * pass.session().sampleRateHz();
      return "loudness      not measurable: "
          + (tooShort ? "shorter than 400 ms" : "nothing is above the gate of -70 LUFS");
    }
    return String.format(
        Locale.ROOT,
        "loudness      %6s LUFS in %s, %s in all, %s at most over 3 s; range %s LU",
        plain(loudPart.integratedLufs(), 2),
        pass.settings().section().isPresent() ? "the section" : "the loud part",
        plain(whole.integratedLufs(), 2),
        plain(whole.maxShortTermLufs(), 2),
        plain(whole.rangeLu(), 1));
  }

  /** The goal and what it asks; nothing without one. */
  static List<String> ofGoal(Pass pass) {
    List<String> lines = new ArrayList<>();
    if (pass.limiter().isPresent()) {
      LimiterWork work = pass.limiter().get();
      Goal goal = work.goal();
      lines.add(
          String.format(
              Locale.ROOT,
              "goal          %6s LUFS%s: %s dB %s; limiter at %s %s",
              Figures.fixed(goal.targetLufs(), 2),
              goal.part() == Goal.Part.SONG ? " in all" : "",
              Figures.fixed(Math.abs(work.neededGainDb()), 2),
              work.neededGainDb() < 0 ? "less than now" : "more than now",
              Figures.fixed(goal.ceilingDb(), 1),
              goal.ceilingMode().unit()));
      lines.add(
          String.format(
              Locale.ROOT,
              "limiter       %6s dB to take at the peak, may take %s%s",
              work(work, pass.peak()),
              Figures.fixed(goal.allowanceDb(), 1),
              mixed(pass, goal)));
    }
    return lines;
  }

  /** A ceiling and levels of two kinds: definitions.md, 6, wants that marked. */
  private static String mixed(Pass pass, Goal goal) {
    if (goal.ceilingMode() == pass.settings().mode()) {
      return "";
    }
    return goal.ceilingMode() == PeakMode.TRUE_PEAK
        ? "; read from samples, true peaks may ask more"
        : "; read from true peaks, samples may ask less";
  }

  /** What the limiter would take, 0 where it would do nothing. */
  static String work(LimiterWork work, double level) {
    return Figures.fixed(Math.max(0, work.dbAt(level)), 2);
  }

  /** A dash where it is not measurable. */
  static String plain(OptionalDouble number, int decimals) {
    return number.isPresent() ? Figures.fixed(number.getAsDouble(), decimals) : "-";
  }
}
