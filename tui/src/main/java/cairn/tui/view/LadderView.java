package cairn.tui.view;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Line;
import cairn.collisions.loudness.Goal;
import cairn.collisions.loudness.LimiterWork;
import cairn.collisions.plan.Ladder;
import cairn.io.listing.Figures;
import cairn.tui.model.Model;
import cairn.tui.model.Screen;
import cairn.tui.model.Song;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;

/** Headroom won against fixes and against moments, and what another line would ask. */
final class LadderView {

  private static final int FIRST_ROW = 3;
  private static final int LUFS_END = 46;
  private static final int BAR = 49;

  private LadderView() {}

  static void draw(Sheet sheet) {
    Model model = sheet.model();
    if (model.song().isEmpty()) {
      Pictures.title(sheet, Screen.LADDER, "");
      return;
    }
    Song song = model.song().get();
    Pictures.title(sheet, Screen.LADDER, HeadView.loudness(song.pass()));
    Canvas canvas = sheet.canvas();
    canvas.putRight(FIRST_ROW - 1, 10, "dB won");
    canvas.putRight(FIRST_ROW - 1, 20, "peak " + song.pass().settings().mode().unit());
    canvas.putRight(FIRST_ROW - 1, 28, "fixes");
    canvas.putRight(FIRST_ROW - 1, 38, "moments");
    Optional<LimiterWork> limiter = limiter(song.pass());
    limiter.ifPresent(work -> canvas.putRight(FIRST_ROW - 1, LUFS_END, "LUFS"));
    canvas.put(
        FIRST_ROW - 1, BAR, sheet.glyphs().full() + " fixes, " + rest(sheet) + " alike to them");
    limiter.ifPresent(
        work -> sheet.sentence(1, 2, reach(model, work), sheet.columns() - 2, Style.PLAIN));
    if (model.busNow().isEmpty()) {
      canvas.put(FIRST_ROW, 2, sheet.glyphs().ellipsis());
      return;
    }
    Ladder ladder = model.busNow().get().ladder();
    if (ladder.rows().isEmpty()) {
      canvas.put(FIRST_ROW, 2, "Nothing is over the line.");
      return;
    }
    double peak = model.busNow().get().peak();
    int most = ladder.rows().get(ladder.rows().size() - 1).moments();
    int width = sheet.columns() - BAR - 1;
    Scrolled.draw(
        sheet,
        FIRST_ROW,
        sheet.rows() - FIRST_ROW - 3,
        ladder.rows().size(),
        (row, index, style) -> {
          Ladder.Row step = ladder.rows().get(index);
          canvas.putRight(row, 10, Figures.fixed(step.headroomDb(), 2), style);
          if (song.pass().line().isLevel()) {
            canvas.putRight(
                row, 20, Words.level(peak * Decibels.toFactor(-step.headroomDb())), style);
          }
          if (song.pass().line().isLevel() && limiter.isPresent()) {
            double level = peak * Decibels.toFactor(-step.headroomDb());
            canvas.putRight(
                row, LUFS_END, Figures.fixed(limiter.get().reachedLufs(level), 1), style);
          }
          canvas.putRight(row, 28, String.valueOf(step.fixes()), style);
          canvas.putRight(row, 38, String.valueOf(step.moments()), style);
          bar(sheet, row, step, most, width);
        });
  }

  /**
   * The limiter of the goal; without one, a limiter as is usual, so that one sees what could be
   * reached. Empty: no loudness is known.
   */
  private static Optional<LimiterWork> limiter(Pass pass) {
    if (pass.limiter().isPresent()) {
      return pass.limiter();
    }
    OptionalDouble lufs = HeadView.loudPartLufs(pass);
    return lufs.isEmpty()
        ? Optional.empty()
        : Optional.of(
            new LimiterWork(
                new Goal(
                    lufs.getAsDouble(),
                    Goal.DEFAULT_CEILING_DB,
                    pass.settings().mode(),
                    Goal.DEFAULT_ALLOWANCE_DB,
                    Goal.Part.LOUD),
                lufs.getAsDouble()));
  }

  private static String reach(Model model, LimiterWork work) {
    Goal goal = work.goal();
    return "LUFS: reached with the limiter at "
        + Figures.fixed(goal.ceilingDb(), 1)
        + " "
        + goal.ceilingMode().unit()
        + " taking "
        + Figures.fixed(goal.allowanceDb(), 1)
        + " dB; now "
        + model
            .busNow()
            .map(bus -> Figures.fixed(work.reachedLufs(bus.peak()), 1))
            .orElse("\u2026");
  }

  private static String rest(Sheet sheet) {
    return sheet.glyphs().unicode() ? "▒" : "-";
  }

  private static void bar(Sheet sheet, int row, Ladder.Row step, int most, int width) {
    int moments = (int) Math.max(1, Math.round((double) width * step.moments() / most));
    int fixes = (int) Math.max(1, Math.round((double) width * step.fixes() / most));
    sheet.canvas().put(row, BAR, rest(sheet).repeat(moments));
    sheet.canvas().put(row, BAR, sheet.glyphs().full().repeat(Math.min(fixes, moments)));
  }

  /** What the line asks for, and what the one that is being tried would: one sentence. */
  static String standing(Sheet sheet) {
    Model model = sheet.model();
    if (model.song().isEmpty()) {
      return "";
    }
    HeldLine line = model.song().get().pass().line();
    String unit = line.mode().unit();
    Optional<Line> draft = model.lineDraft();
    if (draft.isPresent()) {
      return "line "
          + Words.level(draft.get().level(line.averagePeak().overall()))
          + " "
          + unit
          + ": "
          + (model.counted().isPresent()
              ? Figures.count(model.counted().getAsInt(), "moment")
              : "…")
          + "; Enter draws it";
    }
    String where = line.isLevel() ? Words.level(line.level(0)) + " " + unit : "moves with the song";
    return "line "
        + where
        + model
            .busNow()
            .map(bus -> bus.ladder().rows())
            .filter(rows -> !rows.isEmpty())
            .map(LadderView::asks)
            .orElse("");
  }

  private static String asks(List<Ladder.Row> rows) {
    Ladder.Row last = rows.get(rows.size() - 1);
    return ": " + Figures.count(last.moments(), "moment") + ", " + Words.fixes(last.fixes());
  }
}
