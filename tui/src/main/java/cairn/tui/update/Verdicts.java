package cairn.tui.update;

import cairn.collisions.Decibels;
import cairn.collisions.moment.Contribution;
import cairn.collisions.plan.Advice;
import cairn.io.listing.Figures;
import cairn.io.listing.FixWords;
import cairn.tui.model.Model;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Row;
import cairn.tui.model.State;
import java.util.List;
import java.util.Optional;

/** The sentence of the message row when nothing else is to be said. */
public final class Verdicts {

  private static final List<String> TIPS = List.of("next", "take", "fine", "help");

  private Verdicts() {}

  /** The verdict on the selected moment, or how the walk as a whole stands. */
  public static String of(Model model) {
    if (model.song().isEmpty()) {
      return "reading the stems; keys wait for nothing, q leaves";
    }
    Optional<Row> row = model.row();
    if (row.isEmpty()) {
      return model.narrowed().isEmpty() ? nothingOver(model) : "nothing matches; Esc shows all";
    }
    if (!model.used().containsAll(TIPS) && model.keys() < 2) {
      return "Space next moment, Enter take the fix, f fine as it is, ? all keys";
    }
    Optional<MomentNow> moment = model.momentNow();
    if (moment.isEmpty()) {
      return "…";
    }
    return moment(model, row.get(), moment.get());
  }

  private static String nothingOver(Model model) {
    double peakDb = Decibels.ofAmplitude(model.song().get().pass().peak());
    double lineDb = Decibels.ofAmplitude(model.song().get().pass().line().level(0));
    return "Nothing is over the line: the highest peak stays "
        + Figures.fixed(lineDb - peakDb, 1)
        + " dB under it; L moves the line";
  }

  private static String moment(Model model, Row row, MomentNow moment) {
    MomentNow.Pile pile = moment.pile();
    int rate = model.song().get().sampleRateHz();
    if (row.state() == State.FINE) {
      return "Fine as it is, left to the limiter; " + over(model, pile, rate) + ".";
    }
    if (!pile.over()) {
      double under = lineDb(model, pile) - Decibels.ofAmplitude(pile.level());
      boolean marked =
          row.state() != State.GONE && row.state() != State.TO_DECIDE && !row.state().isOpen();
      return "Cleared, "
          + Figures.fixed(under, 2)
          + " dB under the line"
          + (marked ? "." : ", by marks elsewhere.");
    }
    if (pile.isLong()) {
      return "Over for "
          + Math.round(1000.0 * pile.longestRun() / rate)
          + " ms: level, not a spike; ride it at the desk.";
    }
    Optional<Advice> proposed = model.proposed();
    if (proposed.isEmpty()) {
      return "No clean fix: " + moment.why() + ".";
    }
    Advice advice = proposed.get();
    String fix =
        model.song().get().stems().get(advice.stem())
            + " "
            + FixWords.of(advice.marks().get(0).fix(), rate);
    String places =
        advice.places() == 1
            ? ""
            : advice.clearsAll()
                ? ", all " + advice.places()
                : ", clears " + advice.cleared() + " of " + advice.places();
    String left =
        advice.cleared() == 0
            ? ", leaves "
                + Figures.fixed(Decibels.ofAmplitude(advice.leftLevel()) - lineDb(model, pile), 2)
                + " dB"
            : "";
    return over(model, pile, rate) + ". Gentlest: " + fix + places + left;
  }

  private static double lineDb(Model model, MomentNow.Pile pile) {
    return Decibels.ofAmplitude(model.song().get().pass().line().levelAt(pile.peakFrame()));
  }

  private static String over(Model model, MomentNow.Pile pile, int rate) {
    double over = Decibels.ofAmplitude(pile.level()) - lineDb(model, pile);
    return Figures.fixed(over, 2)
        + " dB over the line for "
        + Figures.fixed(1000.0 * pile.longestRun() / rate, 2)
        + " ms";
  }

  /** When nothing is left to decide. */
  static String allDecided(Model model) {
    int rows = Rows.all(model).size();
    return rows == 0 ? nothingOver(model) : "all " + rows + " decided; P plan, E export";
  }

  /** What clears the selected moment with the picked stem, one line. */
  public static String clears(Model model) {
    Optional<MomentNow> moment = model.momentNow();
    if (moment.isEmpty() || model.pickedStem().isEmpty()) {
      return model.row().isPresent() ? "…" : "";
    }
    int k = model.pickedStem().getAsInt();
    String name = model.song().get().stems().get(k);
    if (model.deeds().leftAlone().contains(k)) {
      return name + " is left alone; S, then f, frees it";
    }
    Optional<Contribution> adds =
        moment.get().pile().contributions().stream().filter(c -> c.stem() == k).findFirst();
    MomentNow.Fixes fixes = moment.get().fixes().get(k);
    if (fixes == null) {
      return adds.filter(Contribution::eases).isPresent()
          ? name + " eases this peak: taking from it would raise it"
          : name + " adds too little here to clear it";
    }
    int rate = model.song().get().sampleRateHz();
    StringBuilder text = new StringBuilder();
    fixes
        .nudge()
        .filter(a -> a.cleared())
        .ifPresent(a -> text.append("  n ").append(FixWords.of(a.fix(), rate)));
    fixes
        .trim()
        .filter(a -> a.cleared())
        .ifPresent(
            a -> text.append("  t ").append(FixWords.of(a.fix(), rate).replace("trim ", "")));
    fixes
        .clip()
        .filter(a -> a.cleared())
        .ifPresent(
            a -> text.append("  c ").append(Figures.count(a.change().clippedFrames(), "sample")));
    return text.length() == 0 ? name + " alone does not clear it" : name + " clears it:" + text;
  }
}
