package cairn.tui.view;

import cairn.collisions.fix.Fix;
import cairn.collisions.plan.Ladder;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.PlannedFix;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.io.listing.FixWords;
import cairn.tui.keys.Binding;
import cairn.tui.keys.KeyMap;
import cairn.tui.model.Model;
import cairn.tui.model.Screen;
import cairn.tui.model.Song;
import cairn.tui.update.Exports;
import cairn.tui.update.MarkRows;
import cairn.tui.update.RowCounts;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** The screens that are lists: a heading, rows of which one is selected, a last line or two. */
final class Screens {

  private static final int FIRST_ROW = 3;

  private Screens() {}

  static void draw(Canvas canvas, Model model, Glyphs glyphs) {
    canvas.putCut(
        0, 0, model.title() + "   " + model.screen(), canvas.size().columns(), Style.BOLD);
    switch (model.screen()) {
      case STEMS -> stems(canvas, model, glyphs);
      case LADDER -> ladder(canvas, model, glyphs);
      case PLAN -> plan(canvas, model, glyphs);
      case MARKS -> marks(canvas, model, glyphs);
      case SPECTRUM -> canvas.put(2, 0, "The spectrum is not there yet; q goes back.");
      case EXPORT -> exports(canvas, model, glyphs);
      case CHECK -> check(canvas, model, glyphs);
      case HELP -> help(canvas, model, glyphs);
      case WALK -> throw new IllegalArgumentException("the walk is drawn elsewhere");
    }
  }

  /** Draws the rows around the selected one. */
  private static void rows(
      Canvas canvas, Model model, Glyphs glyphs, String heading, List<String> rows, int below) {
    int columns = canvas.size().columns();
    canvas.put(FIRST_ROW - 1, 2, Words.cut(heading, columns - 2, glyphs));
    int shown = canvas.size().rows() - FIRST_ROW - 2 - below;
    int selected = Math.min(model.selectedRow(), rows.size() - 1);
    int first = Math.max(0, Math.min(selected - shown / 2, rows.size() - shown));
    for (int i = 0; i < shown && first + i < rows.size(); i++) {
      int row = FIRST_ROW + i;
      boolean isSelected = first + i == selected;
      canvas.put(
          row,
          2,
          Words.cut(glyphs.plain(rows.get(first + i)), columns - 2, glyphs),
          isSelected ? Style.BOLD : Style.PLAIN);
      if (isSelected) {
        canvas.put(row, 0, glyphs.cursor(), Style.BOLD);
        canvas.cursor(row, 0);
      }
    }
  }

  private static String name(Model model, int k, int cells, Glyphs glyphs) {
    return SafeText.pad(Words.cut(Words.stem(model, k), cells, glyphs), cells);
  }

  private static void stems(Canvas canvas, Model model, Glyphs glyphs) {
    if (model.song().isEmpty()) {
      return;
    }
    Song song = model.song().get();
    List<String> rows = new ArrayList<>();
    for (int k = 0; k < song.stems().size(); k++) {
      var figures = song.pass().stems().get(k);
      int stem = k;
      long marks =
          model.deeds().marks().fixes().stream().filter(m -> m.fix().stem() == stem).count();
      var fader = model.faders().get(k);
      List<String> notes = new ArrayList<>();
      if (model.deeds().leftAlone().contains(k)) {
        notes.add("left alone");
      }
      if (!fader.equals(song.pass().session().faders().get(k))) {
        notes.add("to sum");
      }
      if (fader.muted()) {
        notes.add("muted");
      }
      if (fader.soloed()) {
        notes.add("soloed");
      }
      if (fader.reversed()) {
        notes.add("reversed");
      }
      if (fader.offset() != 0) {
        notes.add(
            Words.millis(Math.abs(fader.offset()), song.sampleRateHz())
                + (fader.offset() > 0 ? " ms later" : " ms earlier"));
      }
      rows.add(
          name(model, k, 18, glyphs)
              + String.format(
                  Locale.ROOT,
                  "%7s%8s%7s%6d%6d%6d  ",
                  Words.level(figures.peak()),
                  Words.level(figures.averagePeak().orElse(0)),
                  Figures.signed(fader.gainDb(), 1),
                  figures.moments(),
                  figures.loneMoments(),
                  marks)
              + String.join(", ", notes));
    }
    rows(
        canvas,
        model,
        glyphs,
        String.format(
            Locale.ROOT,
            "%-18s%7s%8s%7s%6s%6s%6s  ",
            "stem",
            "peak",
            "average",
            "fader",
            "leads",
            "alone",
            "marks"),
        rows,
        0);
  }

  private static void ladder(Canvas canvas, Model model, Glyphs glyphs) {
    if (model.song().isEmpty()) {
      return;
    }
    List<String> rows = new ArrayList<>();
    Ladder ladder = model.busNow().map(bus -> bus.ladder()).orElse(new Ladder(List.of()));
    int most = ladder.rows().stream().mapToInt(Ladder.Row::moments).max().orElse(1);
    int room = canvas.size().columns() - 34;
    for (Ladder.Row row : ladder.rows()) {
      int cells = Math.max(1, room * row.moments() / Math.max(1, most));
      rows.add(
          String.format(
                  Locale.ROOT, "%8.2f%10d%8d   ", row.headroomDb(), row.moments(), row.fixes())
              + glyphs.full().repeat(cells));
    }
    rows(
        canvas,
        model,
        glyphs,
        String.format(Locale.ROOT, "%8s%10s%8s", "dB won", "moments", "fixes"),
        rows,
        2);
    int at = canvas.size().rows() - 4;
    double line = model.song().get().pass().line().level(0);
    canvas.put(
        at,
        2,
        "line "
            + Words.level(line)
            + " dBFS"
            + model
                .lineDraft()
                .map(
                    draft ->
                        ", moved to "
                            + Words.level(
                                draft.level(
                                    model.song().get().pass().line().averagePeak().overall()))
                            + ": "
                            + (model.counted().isPresent()
                                ? Figures.count(model.counted().getAsInt(), "moment")
                                : glyphs.ellipsis()))
                .orElse(""));
  }

  private static void plan(Canvas canvas, Model model, Glyphs glyphs) {
    if (model.plan().isEmpty()) {
      canvas.put(2, 2, model.work().isPresent() ? glyphs.ellipsis() : "no plan yet");
      return;
    }
    Plan plan = model.plan().get();
    int rate = model.song().get().sampleRateHz();
    int columns = canvas.size().columns();
    canvas.put(
        1,
        0,
        Words.cut(
            "peak "
                + Words.level(plan.peakBefore())
                + ", planned "
                + Words.level(plan.peakAfter())
                + "   "
                + fixes(plan.fixes().size())
                + " clear "
                + plan.cleared()
                + " of "
                + Figures.count(plan.moments(), "moment")
                + "   altered "
                + Figures.fixed(plan.alteredSeconds(), 1)
                + " s, "
                + Figures.fixed(100 * plan.alteredShare(), 2)
                + " % of all",
            columns,
            glyphs));
    double from = plan.peakBefore();
    double top = cairn.collisions.Decibels.ofAmplitude(plan.peakBefore());
    double foot =
        Math.min(
            cairn.collisions.Decibels.ofAmplitude(plan.line().level(0)),
            cairn.collisions.Decibels.ofAmplitude(plan.peakAfter()));
    int bar = Math.max(8, columns - 66);
    List<String> rows = new ArrayList<>();
    for (int i = 0; i < plan.fixes().size(); i++) {
      PlannedFix fix = plan.fixes().get(i);
      String state =
          model.planTaken().contains(i) ? "taken" : model.planDropped().contains(i) ? "drop" : "?";
      double startDb = cairn.collisions.Decibels.ofAmplitude(from);
      double endDb = cairn.collisions.Decibels.ofAmplitude(fix.peakAfter());
      from = fix.peakAfter();
      rows.add(
          SafeText.pad(state, 6)
              + name(model, fix.stem(), 12, glyphs)
              + " "
              + SafeText.pad(FixWords.of(fix.fix(), rate).replaceAll(" \\(.*", ""), 19)
              + SafeText.pad(fix.marks().size() > 1 ? "x" + fix.marks().size() : "", 5)
              + stone(top, foot, startDb, endDb, bar, glyphs)
              + String.format(Locale.ROOT, "%8s", Words.level(fix.peakAfter())));
    }
    rows(
        canvas,
        model,
        glyphs,
        String.format(
            Locale.ROOT,
            "%-6s%-12s %-19s%-5s%-" + bar + "s%8s",
            "",
            "stem",
            "fix",
            "like",
            "dB won",
            "peak"),
        rows,
        3);
    below(canvas, model, plan, rate, glyphs);
  }

  private static void below(Canvas canvas, Model model, Plan plan, int rate, Glyphs glyphs) {
    int at = canvas.size().rows() - 5;
    int columns = canvas.size().columns();
    if (model.selectedRow() < plan.fixes().size()) {
      PlannedFix fix = plan.fixes().get(model.selectedRow());
      StringBuilder places = new StringBuilder();
      for (Mark.OfFix mark : fix.marks()) {
        places
            .append(places.length() == 0 ? " at " : ", ")
            .append(Words.time(mark.momentFrame(), rate));
      }
      canvas.put(
          at,
          2,
          Words.cut(
              Words.stem(model, fix.stem()) + " " + FixWords.of(fix.fix(), rate) + places,
              columns - 2,
              glyphs));
      canvas.put(at + 1, 2, Words.cut("why  " + SafeText.of(fix.why()), columns - 2, glyphs));
    }
    canvas.put(
        at + 2,
        2,
        Words.cut(
            model.planTaken().size()
                + " of "
                + plan.fixes().size()
                + " taken. No stem file is changed.",
            columns - 2,
            glyphs));
  }

  private static String fixes(int count) {
    return count + (count == 1 ? " fix" : " fixes");
  }

  /** The dB that a fix wins, drawn where it lies between the peak and the line. */
  private static String stone(
      double top, double foot, double startDb, double endDb, int bar, Glyphs glyphs) {
    double span = Math.max(1e-6, top - foot);
    int from = (int) Math.round(bar * (top - startDb) / span);
    int to = (int) Math.round(bar * (top - endDb) / span);
    from = Math.max(0, Math.min(bar - 1, from));
    to = Math.max(from, Math.min(bar, to));
    String stone = to == from ? glyphs.dotted() : glyphs.full().repeat(to - from);
    return " ".repeat(from) + stone + " ".repeat(Math.max(0, bar - from - Math.max(1, to - from)));
  }

  private static void marks(Canvas canvas, Model model, Glyphs glyphs) {
    if (model.song().isEmpty()) {
      return;
    }
    int rate = model.song().get().sampleRateHz();
    List<String> rows = new ArrayList<>();
    for (MarkRows.MarkRow row : MarkRows.of(model)) {
      String what =
          row.mark()
              .map(
                  mark ->
                      mark instanceof Mark.OfFix fix
                          ? name(model, fix.fix().stem(), 14, glyphs)
                              + " "
                              + SafeText.pad(words(fix.fix(), rate), 34)
                          : SafeText.pad("fine as it is", 49))
              .orElse(SafeText.pad("", 49));
      rows.add(
          SafeText.pad(Words.time(row.momentFrame(), rate), 10)
              + (model.deeds().done().contains(row.momentFrame()) ? "d " : "  ")
              + what
              + SafeText.of(model.deeds().notes().getOrDefault(row.momentFrame(), "")));
    }
    if (rows.isEmpty()) {
      canvas.put(2, 2, "No mark yet: Enter on the walk or in the plan makes one.");
      return;
    }
    rows(
        canvas, model, glyphs, "time        stem           fix" + " ".repeat(32) + "note", rows, 0);
  }

  private static String words(Fix fix, int rate) {
    return FixWords.of(fix, rate);
  }

  private static void exports(Canvas canvas, Model model, Glyphs glyphs) {
    List<String> rows = new ArrayList<>();
    for (Exports.Format format : Exports.FORMATS) {
      rows.add(SafeText.pad(format.name(), 8) + format.what());
    }
    int count = model.deeds().marks().list().size();
    rows(
        canvas,
        model,
        glyphs,
        "the cue list: " + Figures.count(count, "mark") + "; Enter asks where to write it",
        rows,
        0);
  }

  private static void check(Canvas canvas, Model model, Glyphs glyphs) {
    List<String> rows = new ArrayList<>();
    model.notes().forEach(note -> rows.add(SafeText.of(note)));
    model.said().forEach(said -> rows.add(SafeText.of(said)));
    rows(
        canvas,
        model,
        glyphs,
        rows.isEmpty() ? "nothing to say about the stems" : "about the stems, then all messages",
        rows,
        0);
  }

  private static void help(Canvas canvas, Model model, Glyphs glyphs) {
    Screen under = RowCounts.under(model);
    List<String> rows = new ArrayList<>();
    for (Binding row : KeyMap.help(under, model.helpFilter())) {
      rows.add(SafeText.pad(glyphs.plain(row.shown()), 12) + row.what());
    }
    rows(
        canvas,
        model,
        glyphs,
        "keys on the screen "
            + under
            + (model.helpFilter().isEmpty()
                ? ""
                : " with '" + SafeText.of(model.helpFilter()) + "'"),
        rows,
        0);
  }
}
