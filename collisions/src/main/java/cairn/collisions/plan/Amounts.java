package cairn.collisions.plan;

import cairn.collisions.fix.Change;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.FixLimits;
import cairn.collisions.fix.FixesHere;
import cairn.collisions.fix.Judgement;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * The amounts of a fix, for finding one that serves several moments; definitions.md, 3 (alike) and
 * 5.
 */
final class Amounts {

  private final FixLimits limits;
  private final int sampleRateHz;

  Amounts(FixLimits limits, int sampleRateHz) {
    this.limits = limits;
    this.sampleRateHz = sampleRateHz;
  }

  /**
   * The amounts that clear a moment, the gentlest first.
   *
   * @param least the least fix, which clears it
   * @param most no harder class is tried
   * @param here the moment
   */
  List<Fix> clearing(Fix least, Gentleness most, FixesHere here) {
    List<Fix> amounts = new ArrayList<>(List.of(least));
    if (least instanceof Trim trim) {
      for (int g = trim.tenthsDb() + 1; g <= limits.trimTenthsDb(); g++) {
        if (!offer(amounts, here, here.trim(trim.stem(), g), most)) {
          break;
        }
      }
    } else if (least instanceof Nudge nudge) {
      int size = Math.abs(nudge.frames());
      if (nudge.frames() > 0) {
        offer(amounts, here, here.nudge(nudge.stem(), -size), most);
      }
      for (int d = size + 1; d <= limits.nudgeFrames(sampleRateHz); d++) {
        if (!offer(amounts, here, here.nudge(nudge.stem(), d), most)
            || !offer(amounts, here, here.nudge(nudge.stem(), -d), most)) {
          break;
        }
      }
    } else if (least instanceof Clip clip) {
      for (int c = clip.ceilingTenthsDb() - 1; here.triesCeiling(clip.stem(), c); c--) {
        if (!offer(amounts, here, here.clip(clip.stem(), c), most)) {
          break;
        }
      }
    }
    return amounts;
  }

  /** Adds an amount if it clears; false if harder ones need not be tried. */
  private boolean offer(List<Fix> amounts, FixesHere here, Fix fix, Gentleness most) {
    if (fix instanceof Nudge) {
      if (Gentleness.of(fix, Change.NOTHING, most == Gentleness.COMBING_NUDGE, false, sampleRateHz)
              .compareTo(most)
          > 0) {
        return false;
      }
      if (here.clears(fix)) {
        amounts.add(fix);
      }
      return true;
    }
    Judgement judgement = here.judge(fix);
    if (judgement.verdict() == Judgement.Verdict.REFUSED
        || isHarder(fix, judgement.change(), here, most)) {
      return false;
    }
    if (judgement.verdict() == Judgement.Verdict.CLEARED) {
      amounts.add(fix);
    }
    return true;
  }

  /**
   * The same amount at another moment, if it clears that.
   *
   * @param most of no harder class
   */
  Optional<Fix> clearing(FixesHere place, Fix amount, Gentleness most) {
    int stem = amount.stem();
    if (amount instanceof Nudge nudge) {
      Fix fix = place.nudge(stem, nudge.frames());
      boolean clears = !place.hit(stem).sustained() && place.clears(fix);
      // Asked last, since it takes longest.
      return clears && (most == Gentleness.COMBING_NUDGE || place.combs(stem).isEmpty())
          ? Optional.of(fix)
          : Optional.empty();
    }
    if (amount instanceof Trim trim) {
      Fix fix = place.trim(stem, trim.tenthsDb());
      boolean fits = most == Gentleness.SUSTAINED_TRIM || !place.hit(stem).sustained();
      return fits && place.clears(fix) ? Optional.of(fix) : Optional.empty();
    }
    Clip clip = (Clip) amount;
    if (!place.triesCeiling(stem, clip.ceilingTenthsDb())) {
      return Optional.empty();
    }
    Judgement judgement = place.judge(place.clip(stem, clip.ceilingTenthsDb()));
    return judgement.verdict() == Judgement.Verdict.CLEARED
            && !isHarder(judgement.fix(), judgement.change(), place, most)
        ? Optional.of(judgement.fix())
        : Optional.empty();
  }

  private boolean isHarder(Fix fix, Change change, FixesHere here, Gentleness most) {
    boolean sustained = here.hit(fix.stem()).sustained();
    return change.longestLobeFrames() > limits.lobeFrames(sampleRateHz)
        || Gentleness.of(fix, change, false, sustained, sampleRateHz).compareTo(most) > 0;
  }
}
