package cairn.tui.update;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.fix.Hit;
import cairn.collisions.loudness.LimiterWork;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.Advice;
import cairn.collisions.plan.PassComparison;
import cairn.io.listing.Figures;
import cairn.tui.keys.Intent;
import cairn.tui.keys.KeyMap;
import cairn.tui.model.Model;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Row;
import cairn.tui.model.Song;
import cairn.tui.model.State;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/** The sentence of the message row when nothing else is to be said. */
public final class Verdicts {

  /** A first tip: its name, its key and its words. */
  private record Tip(String name, Intent intent, String words) {
    String text() {
      return KeyMap.of(intent).key() + " " + words;
    }
  }

  private static final List<Tip> TIPS =
      List.of(
          new Tip("next", Intent.NEXT_OPEN, "next moment"),
          new Tip("take", Intent.ENTER, "take the fix"),
          new Tip("fine", Intent.FINE, "fine as it is"),
          new Tip("help", Intent.HELP, "all keys"));

  private Verdicts() {}

  /**
   * The verdict on the selected moment, or how the walk as a whole stands. Until each of the first
   * tips was used once, those that were not come first, and after the verdict where there is room.
   */
  public static String of(Model model) {
    if (model.song().isEmpty()) {
      return model.isUnread() ? "the stems were not read; q leaves" : "reading the stems; q leaves";
    }
    Optional<Row> row = model.row();
    if (row.isEmpty()) {
      return model.narrowed().isEmpty()
          ? nothingOver(model)
          : "nothing matches '" + model.narrowed() + "'; Esc shows all";
    }
    String tips = tips(model);
    if (model.keys() == 0 && !tips.isEmpty()) {
      return tips;
    }
    String verdict = verdict(model, row.get());
    if (model.narrowed().isEmpty() && model.rows().stream().noneMatch(r -> r.state().isOpen())) {
      return verdict + (verdict.endsWith(".") ? " " : ". ") + capital(allDecided(model));
    }
    boolean fits = verdict.length() + 3 + tips.length() <= model.size().columns();
    return tips.isEmpty() || !fits ? verdict : verdict + "   " + tips;
  }

  private static String tips(Model model) {
    List<String> tips = new ArrayList<>();
    for (Tip tip : TIPS) {
      if (!model.used().contains(tip.name())) {
        tips.add(tip.text());
      }
    }
    return String.join(", ", tips);
  }

  private static String capital(String text) {
    return text.substring(0, 1).toUpperCase(Locale.ROOT) + text.substring(1);
  }

  private static String verdict(Model model, Row row) {
    if (!model.whatIf()) {
      return asFound(model, row.head());
    }
    Optional<PassComparison.Fate> fate =
        model.song().flatMap(Song::earlier).flatMap(e -> e.fate(row.head().peakFrame()));
    int before = model.song().map(Song::passNumber).orElse(1) - 1;
    if (fate.isPresent()
        && row.state() == State.GONE
        && fate.get().state() == PassComparison.State.GONE) {
      return "Gone since pass " + before + ": " + Compared.toldAndGot(fate.get()) + ".";
    }
    if (fate.isPresent() && (row.state() == State.LOWER || row.state() == State.STILL)) {
      String since = row.state() == State.LOWER ? "Lower than in pass " : "Still as in pass ";
      return since
          + before
          + (isNothing(fate.get()) ? "" : ": " + Compared.toldAndGot(fate.get()))
          + ". "
          + model.momentNow().map(moment -> moment(model, row, moment)).orElse("…");
    }
    if (row.state() == State.GONE && model.busNow().isPresent()) {
      return "Cleared by marks elsewhere: nothing is to be done here.";
    }
    return model.momentNow().map(moment -> moment(model, row, moment)).orElse("…");
  }

  /** Whether nothing was told and nothing got that can be seen in tenths of a dB. */
  private static boolean isNothing(PassComparison.Fate fate) {
    return Math.abs(fate.toldDb().orElse(0)) < 0.05 && Math.abs(fate.gotDb()) < 0.05;
  }

  private static String asFound(Model model, Moment moment) {
    return "As found: "
        + over(model, moment.peak(), moment.peakFrame(), moment.longestRun())
        + ". w shows it with your marks.";
  }

  private static String nothingOver(Model model) {
    Pass pass = model.song().orElseThrow().pass();
    String work =
        pass.limiter()
            .map(
                limiter ->
                    "; the limiter takes "
                        + Said.db(Math.max(0, limiter.dbAt(pass.peak())))
                        + " dB")
            .orElse("");
    String under =
        pass.line().isLevel()
            ? ": " + Said.db(lineDb(model, 0) - Decibels.ofAmplitude(pass.peak())) + " dB to spare"
            : "";
    return "Nothing over the line" + under + work + ". L moves it.";
  }

  private static String moment(Model model, Row row, MomentNow moment) {
    MomentNow.Pile pile = moment.pile();
    if (row.state() == State.FINE) {
      return pile.over() ? "Fine as it is: " + lower(over(model, pile)) + "." : "Fine as it is.";
    }
    if (!pile.over()) {
      double under = lineDb(model, pile.peakFrame()) - Decibels.ofAmplitude(pile.level());
      return "Cleared: " + Said.db(Math.max(0, under)) + " dB under the line.";
    }
    if (pile.isLong()) {
      int rate = model.song().orElseThrow().sampleRateHz();
      long frames =
          moment.places().isEmpty()
              ? pile.longestRun()
              : moment.places().get(0).lastOver() - moment.places().get(0).firstOver() + 1;
      return "Over for "
          + Said.length(frames, rate, 0)
          + ": level, not a spike; ride it at the desk.";
    }
    Optional<LimiterWork> limiter = model.song().orElseThrow().pass().limiter();
    if (limiter.isPresent() && limiter.get().allows(pile.level())) {
      return over(model, pile)
          + ", you allow "
          + Figures.fixed(limiter.get().goal().allowanceDb(), 1)
          + ": leave it";
    }
    Optional<Advice> proposed = model.proposed();
    if (proposed.isEmpty()) {
      return "No clean fix: " + moment.why() + ".";
    }
    Advice advice = proposed.get();
    if (advice.cleared() == 0 && model.advised() == 0) {
      return "No clean fix: "
          + (isSustained(moment) ? "every hit here is sustained" : "no single one reaches the line")
          + "; the best leaves "
          + left(model, pile, advice)
          + " dB.";
    }
    return over(model, pile)
        + (model.advised() == 0 ? ". Gentlest: " : ". Or: ")
        + model.song().orElseThrow().stems().get(advice.stem())
        + " "
        + Said.fix(advice, model.song().orElseThrow().sampleRateHz())
        + outcome(model, advice);
  }

  private static boolean isSustained(MomentNow moment) {
    return !moment.places().isEmpty()
        && !moment.places().get(0).hits().isEmpty()
        && moment.places().get(0).hits().values().stream().allMatch(Hit::sustained);
  }

  private static String left(Model model, MomentNow.Pile pile, Advice advice) {
    return Said.db(Decibels.ofAmplitude(advice.leftLevel()) - lineDb(model, pile.peakFrame()));
  }

  /** What an advice comes to: {@code , all 4}, {@code , 3 of 4}, {@code , leaves 0.4 dB}. */
  static String outcome(Model model, Advice advice) {
    if (advice.cleared() == 0) {
      return model
          .momentNow()
          .map(moment -> ", leaves " + left(model, moment.pile(), advice) + " dB")
          .orElse("");
    }
    if (advice.clearsAll()) {
      return advice.places() > 1 ? ", all " + advice.places() : "";
    }
    return ", " + advice.cleared() + " of " + advice.places();
  }

  private static double lineDb(Model model, long frame) {
    return Decibels.ofAmplitude(model.song().orElseThrow().pass().line().levelAt(frame));
  }

  private static String over(Model model, MomentNow.Pile pile) {
    return over(model, pile.level(), pile.peakFrame(), pile.longestRun());
  }

  /** With a goal in dB of limiter work, else in dB over the line. */
  private static String over(Model model, double level, long frame, long longestRun) {
    int rate = model.song().orElseThrow().sampleRateHz();
    String time = Said.length(longestRun, rate, 1);
    Optional<LimiterWork> limiter = model.song().orElseThrow().pass().limiter();
    if (limiter.isPresent()) {
      double db = limiter.get().dbAt(level);
      return db > 0
          ? "Limiter would take " + Said.db(db) + " dB here for " + time
          : "Limiter would take nothing here";
    }
    return Said.db(Decibels.ofAmplitude(level) - lineDb(model, frame))
        + " dB over the line for "
        + time;
  }

  private static String lower(String text) {
    return text.substring(0, 1).toLowerCase(Locale.ROOT) + text.substring(1);
  }

  /** When nothing is left to decide; of a narrowed list, when nothing in it is. */
  static String allDecided(Model model) {
    List<Row> rows = model.narrowed().isEmpty() ? model.rows() : Rows.all(model);
    if (rows.isEmpty()) {
      return nothingOver(model);
    }
    long open = rows.stream().filter(row -> row.state().isOpen()).count();
    return open > 0
        ? "all decided of '" + model.narrowed() + "'; Esc shows the other " + open
        : "all " + rows.size() + " decided; P plan, E export";
  }

  /** What clears the selected moment with the picked stem, one line. */
  public static String clears(Model model) {
    Optional<MomentNow> moment = model.momentNow();
    if (moment.isEmpty() || model.pickedStem().isEmpty()) {
      return model.row().isPresent() ? "…" : "";
    }
    int k = model.pickedStem().getAsInt();
    String name = model.song().orElseThrow().stems().get(k);
    if (model.deeds().leftAlone().contains(k)) {
      return name + " is left alone; S, then f, frees it";
    }
    MomentNow.Fixes fixes = moment.get().fixes().get(k);
    if (fixes == null) {
      boolean eases =
          moment.get().pile().contributions().stream().anyMatch(c -> c.stem() == k && c.eases());
      return eases
          ? name + " eases this peak: less of it would raise it"
          : name + " adds too little here to clear it";
    }
    int rate = model.song().orElseThrow().sampleRateHz();
    StringBuilder text = new StringBuilder();
    fixes
        .nudge()
        .filter(a -> a.cleared())
        .ifPresent(a -> text.append("  n ").append(Said.fix(a.fix(), rate)));
    fixes
        .trim()
        .filter(a -> a.cleared())
        .ifPresent(a -> text.append("  t ").append(Said.fix(a.fix(), rate).replace("trim ", "")));
    fixes
        .clip()
        .filter(a -> a.cleared())
        .ifPresent(
            a -> text.append("  c ").append(Figures.count(a.change().clippedFrames(), "sample")));
    return text.length() == 0 ? name + " alone does not clear it" : name + " clears it:" + text;
  }
}
