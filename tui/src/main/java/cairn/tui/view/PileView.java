package cairn.tui.view;

import cairn.collisions.Decibels;
import cairn.collisions.moment.Contribution;
import cairn.io.listing.Figures;
import cairn.tui.model.Model;
import cairn.tui.model.MomentNow;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;

/** The stems' contributions as stones, each set where the last one ended. */
final class PileView {

  private static final int NAME = 10;

  private PileView() {}

  /** A row of the pile. */
  private record Stone(int index, Contribution one, int folded, double from, double to) {}

  static void draw(Canvas canvas, Model model, Layout layout, Glyphs glyphs) {
    int left = layout.listColumns();
    int width = canvas.size().columns() - left;
    Optional<MomentNow> found = model.momentNow();
    if (found.isEmpty()) {
      if (model.row().isPresent()) {
        canvas.put(layout.headingRow(), left + 1, glyphs.ellipsis());
      }
      return;
    }
    MomentNow moment = found.get();
    MomentNow.Pile pile = moment.pile();
    boolean wide = canvas.size().columns() >= 110;
    int extra = wide ? 28 : 0;
    int bar = width - NAME - 16 - extra;
    heading(canvas, model, layout, left, width, pile, wide);
    double average = model.song().get().pass().line().averagePeakAt(pile.peakFrame());
    double line = model.song().get().pass().line().levelAt(pile.peakFrame());
    List<Stone> stones = stones(pile.contributions(), layout.listRows() - 2, picked(model));
    double top = Math.max(pile.level(), Math.max(average, line));
    double sum = 0;
    for (Contribution c : pile.contributions()) {
      sum += Math.max(0, c.amplitude());
    }
    top = Math.max(top, sum) * 1.02;
    int barAt = left + 2 + NAME;
    for (int i = 0; i < stones.size(); i++) {
      int row = layout.listRow() + i;
      Stone stone = stones.get(i);
      mark(canvas, row, barAt, bar, average / top, glyphs);
      mark(canvas, row, barAt, bar, line / top, glyphs);
      bar(canvas, row, barAt, bar, stone, top, line, glyphs);
      text(canvas, model, moment, row, left, width, stone, glyphs, wide);
    }
    int axis = layout.listRow() + layout.listRows() - 2;
    canvas.put(axis, barAt, "0");
    int a = barAt + (int) (bar * average / top);
    int l = barAt + (int) (bar * line / top);
    canvas.put(axis, a, "A");
    canvas.put(axis, Math.max(l, a + 1), "L");
    canvas.putRight(
        axis,
        left + width,
        (width > 36 ? "sum " : "") + Words.level(pile.level()) + (wide ? " dBFS" : ""),
        Style.BOLD);
    last(canvas, model, axis + 1, left, width, pile, glyphs);
  }

  private static OptionalInt picked(Model model) {
    return model.pickedStem();
  }

  private static void heading(
      Canvas canvas,
      Model model,
      Layout layout,
      int left,
      int width,
      MomentNow.Pile pile,
      boolean wide) {
    String words =
        pile.depth() == 0
            ? "  the peak now"
            : pile.depth() == 1 ? "  1 does it alone" : "  " + pile.depth() + " make it";
    canvas.put(layout.headingRow(), left, words, pile.over() ? Style.OVER : Style.PLAIN);
    canvas.putRight(
        layout.headingRow(),
        left + width,
        wide ? "share   own without  nudge   trim   clip" : "share  own",
        Style.PLAIN);
    if (model.whatIf() && !model.deeds().marks().fixes().isEmpty() && wide) {
      canvas.put(layout.headingRow(), left + words.length() + 2, "with your marks");
    }
  }

  private static List<Stone> stones(List<Contribution> pile, int rows, OptionalInt picked) {
    List<Stone> all = new ArrayList<>();
    double from = 0;
    for (int i = 0; i < pile.size(); i++) {
      double to = from + pile.get(i).amplitude();
      all.add(new Stone(i, pile.get(i), 0, from, to));
      from = to;
    }
    if (all.size() <= rows) {
      return all;
    }
    // The largest, a fold with its sum, and the one that eases most.
    boolean eases = pile.get(pile.size() - 1).eases();
    int shown = rows - (eases ? 2 : 1);
    List<Stone> some = new ArrayList<>(all.subList(0, shown));
    int foldEnd = all.size() - (eases ? 1 : 0);
    for (int i = shown; i < foldEnd; i++) {
      if (picked.isPresent() && all.get(i).one().stem() == picked.getAsInt() && !some.isEmpty()) {
        some.set(some.size() - 1, all.get(i));
      }
    }
    some.add(
        new Stone(-1, null, foldEnd - shown, all.get(shown).from(), all.get(foldEnd - 1).to()));
    if (eases) {
      some.add(all.get(all.size() - 1));
    }
    return some;
  }

  private static void mark(
      Canvas canvas, int row, int barAt, int bar, double share, Glyphs glyphs) {
    int at = (int) (bar * share);
    if (at >= 0 && at < bar) {
      canvas.put(row, barAt + at, glyphs.dotted());
    }
  }

  /** A stone, to half a cell. */
  private static void bar(
      Canvas canvas,
      int row,
      int barAt,
      int bar,
      Stone stone,
      double top,
      double line,
      Glyphs glyphs) {
    double low = Math.min(stone.from(), stone.to());
    double high = Math.max(stone.from(), stone.to());
    int from = (int) Math.round(2 * bar * Math.max(0, low) / top);
    int to = Math.max(from + 1, (int) Math.round(2 * bar * Math.max(0, high) / top));
    boolean eases = stone.to() < stone.from();
    for (int cell = from / 2; 2 * cell < to && cell < bar; cell++) {
      boolean leftHalf = 2 * cell >= from;
      boolean rightHalf = 2 * cell + 1 < to;
      String glyph =
          eases
              ? glyphs.ease()
              : leftHalf && rightHalf
                  ? glyphs.full()
                  : leftHalf ? glyphs.leftHalf() : glyphs.rightHalf();
      boolean over = (cell + 0.5) / bar * top > line;
      canvas.put(row, barAt + cell, glyph, eases ? Style.PLAIN : over ? Style.OVER : Style.PLAIN);
    }
  }

  private static void text(
      Canvas canvas,
      Model model,
      MomentNow moment,
      int row,
      int left,
      int width,
      Stone stone,
      Glyphs glyphs,
      boolean wide) {
    int end = left + width - (wide ? 28 : 0);
    if (stone.one() == null) {
      canvas.putCut(row, left, "  + " + stone.folded() + " more", NAME + 2, Style.PLAIN);
      double share = (stone.to() - stone.from()) / moment.pile().level();
      canvas.putRight(row, end - 5, Math.round(100 * share) + "%", Style.PLAIN);
      return;
    }
    Contribution c = stone.one();
    OptionalInt picked = model.pickedStem();
    boolean isPicked = picked.isPresent() && picked.getAsInt() == c.stem();
    Style style = isPicked ? Style.PICKED : Style.PLAIN;
    if (isPicked) {
      canvas.put(row, left - 1, glyphs.cursor(), Style.BOLD);
    }
    if (stone.index() < 9) {
      canvas.put(row, left, String.valueOf(stone.index() + 1), style);
    }
    canvas.put(row, left + 2, Words.cut(Words.stem(model, c.stem()), NAME - 1, glyphs), style);
    canvas.putRight(row, end - 5, Math.round(100 * c.share()) + "%", Style.PLAIN);
    model.song().get().pass().stems().get(c.stem()).averagePeak().stream()
        .filter(own -> own > 0 && c.levelNear() > 0)
        .forEach(
            own ->
                canvas.putRight(
                    row,
                    end,
                    Figures.signed(Decibels.ofAmplitude(c.levelNear() / own), 1),
                    Style.PLAIN));
    if (wide) {
      wideColumns(canvas, model, moment, row, end, c);
    }
  }

  private static void wideColumns(
      Canvas canvas, Model model, MomentNow moment, int row, int end, Contribution c) {
    canvas.putRight(row, end + 8, Words.level(c.peakWithout()), Style.PLAIN);
    MomentNow.Fixes fixes = moment.fixes().get(c.stem());
    if (fixes == null) {
      return;
    }
    int rate = model.song().get().sampleRateHz();
    fixes
        .nudge()
        .filter(a -> a.cleared())
        .ifPresent(
            a -> {
              int d = ((cairn.collisions.fix.Nudge) a.fix()).frames();
              canvas.putRight(
                  row,
                  end + 15,
                  Words.millis(Math.abs(d), rate) + (d > 0 ? " l" : " e"),
                  Style.PLAIN);
            });
    fixes
        .trim()
        .filter(a -> a.cleared())
        .ifPresent(
            a ->
                canvas.putRight(
                    row,
                    end + 21,
                    Figures.fixed(-((cairn.collisions.fix.Trim) a.fix()).db(), 1),
                    Style.PLAIN));
    fixes
        .clip()
        .filter(a -> a.cleared())
        .ifPresent(
            a -> canvas.putRight(row, end + 28, a.change().clippedFrames() + " sm", Style.PLAIN));
  }

  private static void last(
      Canvas canvas,
      Model model,
      int row,
      int left,
      int width,
      MomentNow.Pile pile,
      Glyphs glyphs) {
    OptionalInt picked = picked(model);
    if (picked.isEmpty()) {
      return;
    }
    for (Contribution c : pile.contributions()) {
      if (c.stem() == picked.getAsInt()) {
        String level = " " + Words.level(c.peakWithout());
        String name = Words.cut(Words.stem(model, c.stem()), width - 10 - level.length(), glyphs);
        int at = canvas.put(row, left + 2, "without " + name);
        canvas.put(row, at, level, Style.BOLD);
      }
    }
  }
}
