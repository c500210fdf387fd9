package cairn.tui.update;

import cairn.collisions.plan.PassComparison;
import cairn.collisions.plan.PassComparison.State;
import cairn.collisions.plan.StemChanges;
import cairn.io.listing.Figures;
import cairn.tui.model.Earlier;
import java.util.ArrayList;
import java.util.List;

/** What became of the pass before, in words. */
public final class Compared {

  private Compared() {}

  /**
   * By how much it fell: {@code told 2.1, got 1.9 dB}, {@code got 0.4 dB higher}, {@code 1.9 dB
   * lower} where nothing was told.
   */
  public static String toldAndGot(PassComparison.Fate fate) {
    double gotDb = fate.gotDb();
    if (fate.toldDb().isEmpty()) {
      return db(gotDb) + (isHigher(gotDb) ? "" : Double.isInfinite(gotDb) ? "" : " lower");
    }
    double toldDb = fate.toldDb().getAsDouble();
    return "told "
        + (isHigher(toldDb) ? db(toldDb) : db(toldDb).replace(" dB", ""))
        + ", got "
        + db(gotDb);
  }

  private static boolean isHigher(double db) {
    return db < 0 && !Figures.fixed(-db, 1).equals("0.0");
  }

  private static String db(double db) {
    return Double.isInfinite(db)
        ? "silence"
        : Figures.fixed(Math.abs(db), 1) + " dB" + (isHigher(db) ? " higher" : "");
  }

  /** {@code pass 2: 19 gone, 2 lower, 1 still there, 3 new}, and what else is to know at once. */
  public static String summary(Earlier earlier, int passNumber) {
    PassComparison compared = earlier.compared();
    StringBuilder text = new StringBuilder("pass " + passNumber + ": ");
    text.append(compared.count(State.GONE)).append(" gone, ");
    text.append(compared.count(State.LOWER)).append(" lower, ");
    text.append(compared.count(State.STILL)).append(" still there, ");
    text.append(compared.count(State.NEW)).append(" new");
    long shift = compared.shiftFrames();
    if (shift != 0) {
      text.append("; all ")
          .append(Figures.count(Math.abs(shift), "sample"))
          .append(shift > 0 ? " later" : " earlier");
    }
    List<String> changes = changes(compared.stems());
    if (!changes.isEmpty()) {
      text.append("; ").append(String.join(", ", changes)).append("; C says more");
    }
    return text.toString();
  }

  private static List<String> changes(StemChanges stems) {
    List<String> changes = new ArrayList<>();
    if (!stems.changed().isEmpty()) {
      changes.add("changed unmarked: " + String.join(", ", stems.changed()));
    }
    stems.renamed().forEach(each -> changes.add(each.before() + " is " + each.now() + " now"));
    if (!stems.added().isEmpty()) {
      changes.add("added: " + String.join(", ", stems.added()));
    }
    if (!stems.removed().isEmpty()) {
      changes.add("removed: " + String.join(", ", stems.removed()));
    }
    return changes;
  }
}
