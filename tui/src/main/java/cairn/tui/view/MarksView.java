package cairn.tui.view;

import cairn.collisions.moment.Moment;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.PassComparison;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.tui.model.Earlier;
import cairn.tui.model.Model;
import cairn.tui.model.Screen;
import cairn.tui.model.Song;
import cairn.tui.update.Compared;
import cairn.tui.update.MarkRows;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** Every mark and note by time. */
final class MarksView {

  private static final int FIRST_ROW = 3;
  private static final int EXCESS_END = 20;
  private static final int STEM = 22;
  private static final int LEAST_NAME = 14;
  private static final int FIX_CELLS = 19;

  private MarksView() {}

  static void draw(Sheet sheet) {
    Model model = sheet.model();
    Pictures.title(sheet, Screen.MARKS, "");
    if (model.song().isEmpty()) {
      return;
    }
    List<MarkRows.MarkRow> rows = MarkRows.of(model);
    Canvas canvas = sheet.canvas();
    if (rows.isEmpty()) {
      canvas.put(2, 2, "No mark yet: Enter on the walk or in the plan makes one.");
      return;
    }
    Song song = model.song().get();
    long fixes = model.deeds().marks().fixes().size();
    canvas.putRight(
        0,
        sheet.columns(),
        Figures.count(fixes, "fix").replace("fixs", "fixes")
            + ", "
            + model.deeds().marks().fineFrames().size()
            + " fine, "
            + model.deeds().done().size()
            + " done");
    int name = LEAST_NAME + Math.max(0, sheet.columns() - 80) / 6;
    int fix = STEM + name + 1;
    int note = fix + FIX_CELLS + 1;
    canvas.put(FIRST_ROW - 1, 4, "time");
    canvas.putRight(FIRST_ROW - 1, EXCESS_END, "excess");
    canvas.put(FIRST_ROW - 1, STEM, "stem");
    canvas.put(FIRST_ROW - 1, fix, "fix");
    canvas.put(FIRST_ROW - 1, note, "note");
    Map<Long, Moment> moments = new HashMap<>();
    song.pass().moments().forEach(moment -> moments.put(moment.peakFrame(), moment));
    Scrolled.draw(
        sheet,
        FIRST_ROW,
        sheet.rows() - FIRST_ROW - 3,
        rows.size(),
        (row, index, style) -> {
          MarkRows.MarkRow each = rows.get(index);
          boolean done = model.deeds().done().contains(each.momentFrame());
          if (each.earlier().isPresent()) {
            earlier(sheet, row, each.earlier().get(), new int[] {name, fix, note}, style);
            return;
          }
          canvas.put(row, 2, done ? "d" : letter(each), Style.MARKED);
          canvas.putRight(row, 13, Words.time(each.momentFrame(), song.sampleRateHz()), style);
          Moment moment = moments.get(each.momentFrame());
          canvas.putRight(
              row, EXCESS_END, moment == null ? "new" : Words.excess(moment.excessDb()), style);
          if (each.mark().isPresent() && each.mark().get() instanceof Mark.OfFix mark) {
            canvas.put(row, STEM, sheet.names().fit(mark.fix().stem(), name), style);
            sheet.cut(row, fix, Words.fix(mark.fix(), song.sampleRateHz()), FIX_CELLS, style);
          } else if (each.mark().isPresent()) {
            sheet.cut(row, fix, "fine as it is", FIX_CELLS, style);
          }
          String text = model.deeds().notes().getOrDefault(each.momentFrame(), "");
          sheet.sentence(row, note, SafeText.of(text), sheet.columns() - note, style);
        });
  }

  /** A fix of the pass before: what became of its moment, what was told and what was got. */
  private static void earlier(Sheet sheet, int row, Earlier.Made made, int[] columns, Style style) {
    Song song = sheet.model().song().get();
    long frame = made.mark().momentFrame();
    Optional<PassComparison.Fate> fate = fate(sheet, frame);
    Canvas canvas = sheet.canvas();
    fate.ifPresent(f -> canvas.put(row, 2, sign(f.state()), Style.PLAIN));
    canvas.putRight(row, 13, Words.time(frame, song.sampleRateHz()), style);
    canvas.putRight(row, EXCESS_END, "pass " + (song.passNumber() - 1), style);
    sheet.cut(row, STEM, made.stem(), columns[0], style);
    sheet.cut(row, columns[1], Words.fix(made.mark().fix(), song.sampleRateHz()), FIX_CELLS, style);
    String text = fate.map(Compared::toldAndGot).orElse("");
    sheet.sentence(row, columns[2], text, sheet.columns() - columns[2], style);
  }

  private static String sign(PassComparison.State state) {
    return switch (state) {
      case GONE -> "-";
      case LOWER -> "<";
      case STILL -> "=";
      case NEW -> "*";
    };
  }

  /** The note on the selected row; of a fix of the pass before, what was told and got. */
  static String standing(Sheet sheet) {
    List<MarkRows.MarkRow> rows = MarkRows.of(sheet.model());
    int at = sheet.model().selectedRow();
    if (at >= rows.size()) {
      return "";
    }
    MarkRows.MarkRow row = rows.get(at);
    return row.earlier().isPresent()
        ? fate(sheet, row.momentFrame()).map(Compared::toldAndGot).orElse("")
        : sheet.model().deeds().notes().getOrDefault(row.momentFrame(), "");
  }

  private static Optional<PassComparison.Fate> fate(Sheet sheet, long momentFrame) {
    return sheet.model().song().flatMap(Song::earlier).flatMap(e -> e.fate(momentFrame));
  }

  private static String letter(MarkRows.MarkRow row) {
    if (row.mark().isEmpty()) {
      return " ";
    }
    if (row.mark().get() instanceof Mark.OfFix mark) {
      return switch (mark.fix().kind()) {
        case NUDGE -> "n";
        case TRIM -> "t";
        case CLIP -> "c";
      };
    }
    return "f";
  }
}
