package cairn.tui.view;

import cairn.collisions.Decibels;
import cairn.collisions.fix.Attempt;
import cairn.collisions.fix.Trim;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.tui.keys.KeyMap;
import cairn.tui.model.Model;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Screen;
import cairn.tui.model.Song;
import cairn.tui.model.TextField;
import cairn.tui.model.Work;
import cairn.tui.update.Exports;
import cairn.tui.update.Said;
import cairn.tui.update.Verdicts;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/** The rows at the bottom: what clears, what is said, which keys matter. */
final class FootView {

  /** What a message can do without where it is too long. */
  private static final String HINT = "; (u undoes it|r does it again)$";

  private FootView() {}

  /** What clears the selected moment with the picked stem, and the size of a step. */
  static void clears(Sheet sheet, int row) {
    String step =
        switch (sheet.model().stepSize()) {
          case 0 -> "step 1 sample";
          case 1 -> "step 0.1 ms";
          default -> "step 1 ms";
        };
    int end = sheet.columns() - 1;
    sheet.canvas().putRight(row, end, step);
    int room = end - step.length() - 2;
    sheet.sentence(row, 0, whatClears(sheet, room), room, Style.PLAIN);
  }

  private static String whatClears(Sheet sheet, int cells) {
    Model model = sheet.model();
    Optional<MomentNow> found = model.momentNow();
    if (found.isEmpty() || model.pickedStem().isEmpty()) {
      return model.row().isPresent() ? "…" : "";
    }
    MomentNow moment = found.get();
    int k = model.pickedStem().getAsInt();
    int place = PileRows.placeOf(moment.pile().contributions(), model.pickedStem());
    int room = sheet.columns() / 4;
    String whole = sheet.names().whole(k);
    String name =
        (place >= 0 && place < 9 ? place + 1 + " " : "")
            + (SafeText.cells(whole) <= room ? whole : sheet.names().fit(k, room));
    if (model.deeds().leftAlone().contains(k)) {
      return name + " is left alone; S, then f, frees it";
    }
    MomentNow.Fixes fixes = moment.fixes().get(k);
    if (fixes == null) {
      boolean eases = place >= 0 && moment.pile().contributions().get(place).eases();
      return eases
          ? name + " eases this peak: less of it would raise it"
          : name + " adds too little here to clear it";
    }
    return name + fixes(sheet, moment, fixes, cells - SafeText.cells(name));
  }

  private static String fixes(Sheet sheet, MomentNow moment, MomentNow.Fixes fixes, int cells) {
    List<String> clear = new ArrayList<>();
    List<String> lower = new ArrayList<>();
    for (Optional<Attempt> attempt : List.of(fixes.nudge(), fixes.trim(), fixes.clip())) {
      attempt.ifPresent(a -> (a.cleared() ? clear : lower).add(words(sheet, moment, a)));
    }
    if (!clear.isEmpty()) {
      return fitting(clear, cells);
    }
    if (lower.isEmpty()) {
      return " alone does not lower it";
    }
    String text = " leaves " + lower.get(0).replaceFirst(" ", " dB over with ");
    for (String another : lower.subList(1, lower.size())) {
      String longer = text + ", " + another.replaceFirst(" ", " with ");
      text = SafeText.cells(longer) <= cells ? longer : text;
    }
    return text;
  }

  /**
   * What clears, with as wide gaps and as many words as there is room for; without the last figure
   * where there is none.
   */
  private static String fitting(List<String> figures, int cells) {
    for (String start : List.of(" clears it:  ", " clears it: ", " clears: ")) {
      String text = start + String.join(start.endsWith("  ") ? "   " : "  ", figures);
      if (SafeText.cells(text) <= cells) {
        return text;
      }
    }
    String start = " clears it: ";
    int fits = figures.size();
    while (fits > 1
        && SafeText.cells(start + String.join("  ", figures.subList(0, fits))) > cells) {
      fits--;
    }
    return start + String.join("  ", figures.subList(0, fits));
  }

  private static String words(Sheet sheet, MomentNow moment, Attempt attempt) {
    int rate = sheet.model().song().get().sampleRateHz();
    String what =
        switch (attempt.fix().kind()) {
          case NUDGE ->
              "n " + Words.fix(attempt.fix(), rate) + (attempt.combs().isEmpty() ? "" : ", combs");
          case TRIM -> "t " + Figures.fixed(-((Trim) attempt.fix()).db(), 1) + " dB";
          case CLIP -> "c " + Figures.count(attempt.change().clippedFrames(), "sample");
        };
    if (attempt.cleared()) {
      return what;
    }
    double line = sheet.model().song().get().pass().line().levelAt(moment.pile().peakFrame());
    double leftDb = Decibels.ofAmplitude(attempt.leftLevel() / line);
    // Something is left: it is not to read as nothing.
    return Said.db(Math.max(0.01, leftDb)) + " " + what;
  }

  /** The message row, for a long message the one above it too, and the keys that matter now. */
  static void draw(Sheet sheet) {
    message(sheet, sheet.rows() - 2);
    keys(sheet, sheet.rows() - 1);
  }

  private static void message(Sheet sheet, int row) {
    Model model = sheet.model();
    if (model.field().isPresent()) {
      field(sheet, row, model.field().get());
      return;
    }
    String text = SafeText.of(model.message().orElseGet(() -> standing(sheet)));
    Style style =
        text.startsWith("warning:") || text.startsWith("stopped:") ? Style.OVER : Style.PLAIN;
    // The whole name of a stem's file is told, and what became of a moment since the pass before.
    boolean isWhole =
        model.message().isPresent()
            || model.screen() == Screen.STEMS
            || (model.screen() == Screen.WALK && model.song().flatMap(Song::earlier).isPresent());
    if (isWhole) {
      text = SafeText.cells(text) <= sheet.columns() ? text : text.replaceFirst(HINT, "");
      if (SafeText.cells(text) > sheet.columns()) {
        sheet.canvas().put(row - 1, 0, " ".repeat(sheet.columns()));
        sheet.wrapped(row - 1, 2, 0, text, style);
        return;
      }
    }
    sheet.sentence(row, 0, text, sheet.columns(), style);
  }

  /** What is said when there is no message. */
  private static String standing(Sheet sheet) {
    Model model = sheet.model();
    if (model.work().isPresent()) {
      return work(model.work().get());
    }
    return switch (model.screen()) {
      case WALK -> Verdicts.of(model);
      case PLAN -> PlanView.standing(sheet);
      case LADDER -> LadderView.standing(sheet);
      case STEMS -> StemsView.standing(sheet);
      case MARKS -> MarksView.standing(sheet);
      case HELP -> HelpView.standing(sheet);
      case EXPORT ->
          Exports.missing(model).orElse("Enter asks where to write it. No stem file is changed.");
      default -> "";
    };
  }

  private static void field(Sheet sheet, int row, TextField field) {
    int at = sheet.canvas().put(row, 0, field.purpose().words() + ": ", Style.BOLD);
    String safe = SafeText.of(field.text());
    // The end of what is typed is what one looks at.
    while (SafeText.cells(safe) > sheet.columns() - at - 1) {
      safe = safe.substring(safe.offsetByCodePoints(0, 1));
    }
    at = sheet.canvas().put(row, at, safe, Style.PLAIN);
    sheet.canvas().cursor(row, at);
  }

  /** The keys of a field, and what may stand in it. */
  private static void field(Sheet sheet, int row, TextField.Purpose purpose) {
    if (purpose == TextField.Purpose.FIND) {
      sheet.canvas().put(row, 0, "Enter does it  Esc back");
      return;
    }
    String keys = "Enter keeps it  Esc drops it  ";
    int at = sheet.canvas().put(row, 0, keys, Style.PLAIN);
    sheet.sentence(row, at, takes(sheet, purpose), sheet.columns() - at, Style.PLAIN);
  }

  /** What a field takes, and what an empty one does. */
  private static String takes(Sheet sheet, TextField.Purpose purpose) {
    Model model = sheet.model();
    boolean bars = model.song().map(song -> song.tempo().isPresent()).orElse(false);
    return switch (purpose) {
      case GO_TO -> "1:54, 1:54.25, " + (bars ? "12|3, " : "") + "a rank such as 7, end";
      case NARROW ->
          model.screen() == Screen.STEMS
              ? "a part of a stem's name; empty: all"
              : "caixa, !, >4, lone, 1:54-2:48; empty: all";
      case EXACT -> "0.4 ms later, 7 samples earlier, -1.5 dB";
      case GOAL -> "-8, -8 ceiling -1 limiter 3, none, line -1.6";
      case NOTE -> "empty: no note";
      case TARGET -> "a file name; ! before it writes over";
      case YOKE -> yoke(sheet);
      case FIND -> "";
    };
  }

  private static String yoke(Sheet sheet) {
    Model model = sheet.model();
    List<Integer> others =
        model
            .song()
            .map(song -> song.pass().session().yokes().othersOf(model.selectedOn(Screen.STEMS)))
            .orElse(List.of());
    return others.isEmpty()
        ? "a part of the other stem's name"
        : "empty: parts it from " + sheet.names().fit(others.get(0), 24);
  }

  /** How far long work has come, in words. */
  static String work(Work work) {
    String what =
        switch (work.step()) {
          case SUM -> "reading the stems";
          case EXPLAIN -> "explaining the moments";
          case PLAN -> "trying fixes";
          case WRITE -> "writing";
        };
    StringBuilder text = new StringBuilder(what).append(": ").append(percent(work)).append(" %");
    if (work.bytesPerSecond() > 0) {
      text.append(String.format(Locale.ROOT, ", %.0f MB/s", work.bytesPerSecond() / 1e6));
    }
    if (work.secondsLeft() >= 0) {
      text.append(String.format(Locale.ROOT, ", %.0f s left", work.secondsLeft()));
    }
    return text.append("; Ctrl-C cancels").toString();
  }

  private static long percent(Work work) {
    return work.total() > 0 ? Math.max(0, Math.min(100, 100 * work.done() / work.total())) : 0;
  }

  private static void keys(Sheet sheet, int row) {
    Model model = sheet.model();
    if (model.field().isPresent()) {
      field(sheet, row, model.field().get().purpose());
      return;
    }
    boolean walk = model.screen() == Screen.WALK;
    String right = walk ? "? keys" : "q back  ? keys";
    int end = walk ? sheet.columns() - 1 : sheet.columns();
    // While the stems are read, the walk's own keys have nothing to act on.
    List<String> foot =
        walk && model.song().isEmpty() ? List.of("q leave", "Ctrl-C cancel") : KeyMap.foot(model);
    StringBuilder text = new StringBuilder();
    for (String words : foot) {
      String gap = text.length() == 0 ? "" : "  ";
      if (text.length() + gap.length() + words.length() <= end - right.length() - 2) {
        text.append(gap).append(words);
      }
    }
    sheet.canvas().put(row, 0, sheet.glyphs().plain(text.toString()));
    sheet.canvas().putRight(row, end, right);
  }
}
