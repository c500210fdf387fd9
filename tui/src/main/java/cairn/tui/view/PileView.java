package cairn.tui.view;

import cairn.collisions.fix.Attempt;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.moment.Contribution;
import cairn.collisions.plan.Advice;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.tui.model.Model;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Song;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;

/** The stems' contributions as stones, each set where the last one ended. */
final class PileView {

  private final Sheet sheet;
  private final Canvas canvas;
  private final Layout layout;
  private final Song song;
  private final Optional<MomentNow> moment;
  private final MomentNow.Pile pile;
  private final OptionalInt picked;
  private final double average;
  private final double line;
  private final double top;

  private PileView(Sheet sheet, Layout layout, MomentNow.Pile pile, List<PileRows.Stone> stones) {
    this.sheet = sheet;
    this.layout = layout;
    this.pile = pile;
    moment = sheet.model().momentNow();
    canvas = sheet.canvas();
    song = sheet.model().song().get();
    picked = sheet.model().pickedStem();
    average = song.pass().line().averagePeakAt(pile.peakFrame());
    line = song.pass().line().levelAt(pile.peakFrame());
    // Where there is room one scale for all moments: so piles can be compared, and average peak and
    // line stay where they are. But a pile may climb higher still before stems ease it.
    double highest =
        Math.max(
            layout.isWide() ? song.pass().peak() : pile.level(), Math.max(average, line) * 1.02);
    for (PileRows.Stone stone : stones) {
      highest = Math.max(highest, Math.max(stone.from(), stone.to()));
    }
    top = highest;
  }

  static void draw(Sheet sheet, Layout layout) {
    Model model = sheet.model();
    if (model.row().isEmpty()) {
      return;
    }
    columns(sheet.canvas(), layout);
    Optional<MomentNow.Pile> found = model.pile();
    if (found.isEmpty()) {
      sheet.canvas().put(layout.headingRow(), layout.listColumns() + 2, sheet.glyphs().ellipsis());
      return;
    }
    List<PileRows.Stone> stones =
        PileRows.of(
            found.get().contributions(),
            model.song().get().groups(),
            layout.listRows() - 2,
            model.pickedStem());
    PileView view = new PileView(sheet, layout, found.get(), stones);
    view.heading();
    for (int i = 0; i < stones.size(); i++) {
      view.stone(layout.listRow() + i, stones.get(i));
    }
    int axis = layout.listRow() + stones.size();
    view.axis(axis);
    view.last(axis + 1);
  }

  private void heading() {
    int row = layout.headingRow();
    String words =
        pile.isLong()
            ? "level, not a spike"
            : !pile.over()
                ? "cleared"
                : pile.depth() == 1 ? "1 does it alone" : pile.depth() + " make it";
    canvas.put(row, layout.listColumns() + 2, words, pile.over() ? Style.OVER : Style.MARKED);
  }

  /** What the columns tell, the same for all moments. */
  private static void columns(Canvas canvas, Layout layout) {
    int row = layout.headingRow();
    int end = layout.pileEnd();
    canvas.putRight(row, end, "share  own");
    if (layout.isWide()) {
      canvas.putRight(row, end + 8, "without");
      canvas.putRight(row, end + 21, "nudge ms");
      canvas.putRight(row, end + 29, "trim dB");
      canvas.putRight(row, end + 37, "clip ms");
    }
  }

  private void stone(int row, PileRows.Stone stone) {
    guides(row);
    Contribution c = stone.one();
    boolean isPicked = c != null && picked.isPresent() && picked.getAsInt() == c.stem();
    bar(row, stone, isPicked ? Style.PICKED : Style.PLAIN);
    int left = layout.listColumns();
    double share = (stone.to() - stone.from()) / pile.level();
    canvas.putRight(row, layout.pileEnd() - 5, percent(share));
    if (c == null) {
      String group = stone.folded() + " " + (stone.group().isEmpty() ? "more" : stone.group());
      boolean fits = SafeText.cells(group) + 2 <= layout.nameCells();
      sheet.cut(row, left + 2, (fits ? "+ " : "+") + group, layout.nameCells(), Style.PLAIN);
      return;
    }
    Style style = isPicked ? Style.PICKED : marked(c.stem()) ? Style.MARKED : Style.PLAIN;
    if (isPicked) {
      canvas.put(row, left - 1, sheet.glyphs().cursor(), Style.PICKED);
    }
    if (stone.place() < 9) {
      canvas.put(row, left, String.valueOf(stone.place() + 1), style);
    }
    canvas.put(row, left + 2, sheet.names().fit(c.stem(), layout.nameCells()), style);
    double own = song.pass().stems().get(c.stem()).aboveOwnAverageDb(c.levelNear());
    if (!Double.isNaN(own)) {
      canvas.putRight(row, layout.pileEnd(), Words.step(own));
    }
    if (layout.isWide()) {
      fixes(row, c);
    }
  }

  private static String percent(double share) {
    return Math.round(100 * share) + "%";
  }

  /** Whether a stem has a mark at this moment. */
  private boolean marked(int stem) {
    return sheet.model().deeds().marks().fixes().stream()
        .anyMatch(
            m ->
                m.fix().stem() == stem
                    && moment.isPresent()
                    && m.momentFrame() == moment.get().momentFrame());
  }

  private int cell(double level) {
    return (int) Math.min(layout.barCells() - 1.0, layout.barCells() * level / top);
  }

  /** Where average peak and line stand. */
  private void guides(int row) {
    canvas.put(row, layout.barColumn() + cell(average), sheet.glyphs().dotted());
    canvas.put(row, layout.barColumn() + cell(line), sheet.glyphs().dotted());
  }

  private void bar(int row, PileRows.Stone stone, Style style) {
    double perEighth = top / (Stone.EIGHTHS * layout.barCells());
    int from = (int) Math.round(Math.max(0, Math.min(stone.from(), stone.to())) / perEighth);
    int end = (int) Math.round(Math.max(0, Math.max(stone.from(), stone.to())) / perEighth);
    // The least stone can be seen too.
    from = Math.max(0, Math.min(from, Stone.EIGHTHS * layout.barCells() - 1));
    end = Math.max(from + 1, Math.min(end, Stone.EIGHTHS * layout.barCells()));
    for (int cell = from / Stone.EIGHTHS; cell * Stone.EIGHTHS < end; cell++) {
      boolean over = (cell + 0.5) * Stone.EIGHTHS * perEighth > line && !stone.eases();
      canvas.put(
          row,
          layout.barColumn() + cell,
          stone.eases() ? sheet.glyphs().ease() : Stone.glyph(cell, from, end, sheet.glyphs()),
          style == Style.PICKED ? style : over ? Style.OVER : style);
    }
  }

  private void fixes(int row, Contribution c) {
    int end = layout.pileEnd();
    canvas.putRight(row, end + 8, Words.level(c.peakWithout()));
    if (moment.isEmpty()) {
      if (c.leads()) {
        canvas.putRight(row, end + 21, sheet.glyphs().ellipsis());
      }
      return;
    }
    MomentNow.Fixes fixes = moment.get().fixes().get(c.stem());
    if (fixes == null) {
      return;
    }
    int rate = song.sampleRateHz();
    fix(fixes.nudge(), row, end + 21)
        .ifPresent(
            a -> {
              int frames = ((Nudge) a.fix()).frames();
              canvas.putRight(
                  row,
                  end + 21,
                  Words.finely(Math.abs(frames), rate) + (frames > 0 ? " later" : " earlier"));
            });
    fix(fixes.trim(), row, end + 29)
        .ifPresent(a -> canvas.putRight(row, end + 29, Figures.fixed(-((Trim) a.fix()).db(), 1)));
    fix(fixes.clip(), row, end + 37)
        .ifPresent(
            a ->
                canvas.putRight(
                    row, end + 37, Words.finely((double) a.change().longestLobeFrames(), rate)));
  }

  /** A fix that clears; where there is none, a dash is drawn. */
  private Optional<Attempt> fix(Optional<Attempt> attempt, int row, int end) {
    Optional<Attempt> clears = attempt.filter(Attempt::cleared);
    if (clears.isEmpty()) {
      canvas.putRight(row, end, "-");
    }
    return clears;
  }

  private void axis(int row) {
    int zero = layout.barColumn();
    int a = zero + cell(average);
    int l = zero + cell(line);
    canvas.put(row, zero, "0");
    canvas.put(row, a, a == l ? "" : "A");
    canvas.put(row, l, a == l ? "=" : "L", Style.OVER);
    String sum = "sum " + Words.level(pile.level());
    // Over "L" only where there is no room beside it.
    int from = layout.pileEnd() - sum.length();
    canvas.put(
        row,
        from > l + 1 ? from : layout.pileEnd() - sum.length() + 4,
        from > l + 1 ? sum : sum.substring(4),
        pile.over() ? Style.OVER : Style.PLAIN);
  }

  /** What the fix proposed for the picked stem costs in tone, where there is room. */
  private void tone(int row, int after, Advice advice) {
    String cost = "tone " + Figures.fixed(advice.toneCostDb(), 1);
    if (after + 2 <= layout.pileEnd() - cost.length()) {
      canvas.putRight(row, layout.pileEnd(), cost, advice.isDear() ? Style.OVER : Style.PLAIN);
    }
  }

  /** The peak without the picked stem, and what its fix costs in tone. */
  private void last(int row) {
    int place = PileRows.placeOf(pile.contributions(), picked);
    if (place < 0) {
      return;
    }
    Contribution c = pile.contributions().get(place);
    String level = Words.level(c.peakWithout());
    int left = layout.listColumns() + 2;
    int room = layout.pileEnd() - left - level.length() - 9 - 6;
    String name = sheet.names().whole(c.stem());
    String shown = SafeText.cells(name) <= room ? name : sheet.names().fit(c.stem(), room);
    int at = canvas.put(row, left, "without " + shown + " ", Style.PLAIN);
    at = canvas.put(row, at, level, Style.BOLD);
    at = canvas.put(row, at, " " + song.pass().settings().mode().unit(), Style.PLAIN);
    int after = at;
    moment.stream()
        .flatMap(m -> m.advice().stream())
        .filter(advice -> advice.stem() == c.stem())
        .findFirst()
        .ifPresent(advice -> tone(row, after, advice));
  }
}
