package cairn.tui.update;

import cairn.collisions.Fader;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.plan.Advice;
import cairn.collisions.plan.Mark;
import cairn.io.listing.Figures;
import cairn.tui.model.Deeds;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/** Fixes and changes as the message row says them. */
public final class Said {

  private Said() {}

  /** {@code 0.15 ms later}, {@code trim -1.2 dB}, {@code clip at -10.6 dBFS}. */
  static String fix(Fix fix, int sampleRateHz) {
    if (fix instanceof Nudge nudge) {
      return length(Math.abs((long) nudge.frames()), sampleRateHz, 2)
          + (nudge.frames() > 0 ? " later" : " earlier");
    }
    return fix instanceof Trim trim
        ? "trim " + Figures.fixed(-trim.db(), 1) + " dB"
        : "clip at " + Figures.fixed(((Clip) fix).ceilingDb(), 1) + " dBFS";
  }

  /** The same for advice: a clip is told by how many samples it takes. */
  static String fix(Advice advice, int sampleRateHz) {
    return advice.kind() == Fix.Kind.CLIP
        ? "clip " + Figures.count(advice.clippedFrames(), "sample")
        : fix(advice.marks().get(0).fix(), sampleRateHz);
  }

  /** A length in ms; one that would be rounded to nothing, in samples. */
  static String length(long frames, int sampleRateHz, int decimals) {
    double millis = 1000.0 * frames / sampleRateHz;
    return millis * Math.pow(10, decimals) < 0.5
        ? Figures.count(frames, "sample")
        : Figures.fixed(millis, decimals) + " ms";
  }

  /** Decibels over 0 with one decimal; small ones with two, so that they are not said to be 0. */
  public static String db(double db) {
    return Figures.fixed(db, Math.abs(db) < 0.05 ? 2 : 1);
  }

  /** What was done between two states, in a few words. */
  static String difference(Turn turn, Deeds before, Deeds after) {
    Set<Mark> old = new HashSet<>(before.marks().list());
    Set<Mark> fresh = new HashSet<>(after.marks().list());
    List<Mark> came = after.marks().list().stream().filter(m -> !old.contains(m)).toList();
    List<Mark> went = before.marks().list().stream().filter(m -> !fresh.contains(m)).toList();
    if (!came.isEmpty()) {
      return marks(turn, came);
    }
    if (!went.isEmpty()) {
      return marks(turn, went) + " taken off";
    }
    List<Integer> stems = new ArrayList<>(after.leftAlone());
    stems.removeAll(before.leftAlone());
    if (!stems.isEmpty()) {
      return turn.stem(stems.get(0)) + " left alone";
    }
    stems = new ArrayList<>(before.leftAlone());
    stems.removeAll(after.leftAlone());
    if (!stems.isEmpty()) {
      return turn.stem(stems.get(0)) + " freed";
    }
    int faders = Math.min(before.faders().size(), after.faders().size());
    for (int k = 0; k < faders; k++) {
      Fader fader = after.faders().get(k);
      if (!fader.equals(before.faders().get(k))) {
        return turn.stem(k) + " at " + StemDeeds.words(fader, turn.rate());
      }
    }
    if (!before.done().equals(after.done())) {
      return after.done().size() > before.done().size() ? "done at the desk" : "not done yet";
    }
    return "a note";
  }

  private static String marks(Turn turn, List<Mark> marks) {
    Mark first = marks.get(0);
    String what =
        first instanceof Mark.OfFix fix
            ? turn.stem(fix.fix().stem()) + " " + fix(fix.fix(), turn.rate())
            : "fine as it is";
    return what
        + " at "
        + turn.time(first.momentFrame())
        + (marks.size() > 1 ? " and " + (marks.size() - 1) + " more" : "");
  }
}
