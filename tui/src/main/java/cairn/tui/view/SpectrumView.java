package cairn.tui.view;

import cairn.collisions.spectrum.Difference;
import cairn.collisions.spectrum.Portrait;
import cairn.collisions.spectrum.ThirdOctaves;
import cairn.io.listing.Figures;
import cairn.tui.model.Bands;
import cairn.tui.model.Model;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Screen;
import cairn.tui.model.Spectra;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * Third-octave bands of the bus as bars, of the reference as a line across them, the difference
 * under them; and in which band each stem of the selected moment has most of its energy.
 */
final class SpectrumView {

  private static final int TOP = 3;
  private static final int LEFT = 7;

  /** Rows for the difference, an odd number: the middle one is none. */
  private static final int DIFFERENCE_ROWS = 5;

  /** What the whole plot shows at least, from the strongest band down. */
  private static final double SPAN_DB = 60;

  /** What a row of the difference stands for at least. */
  private static final double STEP_DB = 3;

  private static final String[] UPPER_EIGHTHS = {" ", "▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"};

  private final Sheet sheet;
  private final Canvas canvas;
  private final int width;
  private final int plotRows;
  private final double rowDb;

  private SpectrumView(Sheet sheet, boolean hasReference) {
    this.sheet = sheet;
    canvas = sheet.canvas();
    width = Math.max(1, (sheet.columns() - LEFT) / ThirdOctaves.COUNT);
    // Under the plot: digits, frequencies, the difference, two sentences, message and keys.
    int below = 2 + (hasReference ? DIFFERENCE_ROWS + 1 : 0) + 2 + 3;
    plotRows = sheet.rows() - TOP - below;
    rowDb = rowDb(plotRows);
  }

  /**
   * What a row stands for, so that the plot shows the span and at most a quarter more: whole dB,
   * halves, quarters or eighths, the finer the more rows there are.
   */
  static double rowDb(int plotRows) {
    double least = SPAN_DB / plotRows;
    int part = least > 6 ? 1 : least > 3 ? 2 : least >= 0.8 ? 4 : 8;
    return Math.ceil(least * part) / part;
  }

  /** Every how many rows a figure stands, so that each is whole. */
  static int labelRows(int plotRows) {
    int rows = Math.max(2, plotRows / 6);
    while (rows * rowDb(plotRows) % 1 != 0) {
      rows++;
    }
    return rows;
  }

  static void draw(Sheet sheet) {
    Model model = sheet.model();
    Pictures.title(sheet, Screen.SPECTRUM, "");
    if (model.song().isEmpty()) {
      return;
    }
    Spectra spectra = model.spectra().orElse(Spectra.PENDING);
    boolean hasReference = spectra.reference().isPresent();
    SpectrumView view = new SpectrumView(sheet, hasReference);
    sheet.sentence(1, 2, heading(spectra), sheet.columns() - 2, Style.PLAIN);
    int foot = TOP + view.plotRows;
    view.frequencies(foot + 1);
    if (spectra.bus().isPresent()) {
      Portrait bus = spectra.bus().get();
      Optional<Difference> difference =
          spectra.reference().map(other -> Difference.of(bus, other, gainDb(bus, other)));
      view.bars(bus, difference);
      difference.ifPresent(
          found -> {
            view.difference(foot + 2, found);
            sheet.sentence(
                foot + 2 + DIFFERENCE_ROWS, 2, named(found), sheet.columns() - 2, Style.PLAIN);
          });
    } else if (spectra.why().isEmpty()) {
      sheet.canvas().put(TOP, LEFT, sheet.glyphs().ellipsis());
    }
    view.moment(foot, sheet.rows() - 5);
  }

  /** The gain that brings the reference to the loudness of the bus; 0 where one has none. */
  private static double gainDb(Portrait bus, Portrait reference) {
    return reference.gainToLoudnessOf(bus).orElse(0);
  }

  private static String heading(Spectra spectra) {
    if (spectra.bus().isEmpty()) {
      return spectra.why().isEmpty()
          ? "the bus is being measured …"
          : "the spectrum could not be measured: " + spectra.why();
    }
    Portrait bus = spectra.bus().get();
    String text = "bus " + lufs(bus.integratedLufs()) + " (bars)";
    if (spectra.name().isEmpty()) {
      return text + "; to hold one against it: cairn walk STEMS --reference FILE";
    }
    if (spectra.reference().isEmpty()) {
      return text
          + "; "
          + spectra.name()
          + (spectra.why().isEmpty() ? " is being measured …" : ": " + spectra.why());
    }
    Portrait reference = spectra.reference().get();
    boolean isMatched = reference.gainToLoudnessOf(bus).isPresent();
    return text
        + ", "
        + spectra.name()
        + " "
        + lufs(reference.integratedLufs())
        + (isMatched
            ? ", brought to " + lufs(bus.integratedLufs()) + " (line)"
            : ", not matched: no loudness (line)");
  }

  private static String lufs(OptionalDouble lufs) {
    return lufs.isPresent() ? Figures.fixed(lufs.getAsDouble(), 1) + " LUFS" : "- LUFS";
  }

  private int column(int band) {
    return LEFT + band * width;
  }

  private void bars(Portrait bus, Optional<Difference> difference) {
    double top = Double.NEGATIVE_INFINITY;
    int count = ThirdOctaves.countAt(bus.sampleRateHz());
    for (int band = 0; band < count; band++) {
      top = Math.max(top, bus.bandDb(band));
    }
    if (difference.isPresent()) {
      for (Difference.Band band : difference.get().bands()) {
        top = Math.max(top, band.thereDb());
      }
    }
    if (!Double.isFinite(top)) {
      canvas.put(TOP, LEFT, "the bus is silent");
      return;
    }
    top = Math.ceil(top);
    for (int i = 0; i < plotRows; i += labelRows(plotRows)) {
      canvas.putRight(TOP + i, LEFT - 2, Figures.fixed(top - i * rowDb, 0));
    }
    canvas.put(TOP - 1, LEFT - 4, "dB");
    int barWidth = Math.max(1, width - 1);
    for (int band = 0; band < count; band++) {
      bar(column(band), barWidth, top - bus.bandDb(band));
    }
    if (difference.isPresent()) {
      for (Difference.Band band : difference.get().bands()) {
        int row = (int) Math.floor((top - band.thereDb()) / rowDb);
        if (row >= 0 && row < plotRows) {
          String dash = sheet.glyphs().unicode() ? "━" : "=";
          canvas.put(TOP + row, column(band.band()), dash.repeat(width), Style.PICKED);
        }
      }
    }
  }

  /** A bar from the foot of the plot up to so many dB under its top. */
  private void bar(int column, int cells, double underDb) {
    double height = Math.max(0, plotRows - underDb / rowDb);
    int eighths = (int) Math.min(8L * plotRows, Math.round(height * 8));
    for (int i = 0; i * 8 < eighths && i < plotRows; i++) {
      int part = Math.min(8, eighths - i * 8);
      String glyph =
          sheet.glyphs().unicode() ? UPPER_EIGHTHS[part] : part >= 4 ? sheet.glyphs().full() : ".";
      canvas.put(TOP + plotRows - 1 - i, column, glyph.repeat(cells));
    }
  }

  private void frequencies(int row) {
    int next = 0;
    for (int band = 0; band < ThirdOctaves.COUNT; band++) {
      String name = ThirdOctaves.name(band).replace(" Hz", "").replace(" kHz", "k");
      int at = column(band);
      if (at >= next && at + name.length() <= sheet.columns() && band % 2 == 0) {
        canvas.put(row, at, name);
        next = at + name.length() + 1;
      }
    }
    canvas.put(row, LEFT - 4, "Hz");
  }

  /** More than the reference stands above the middle row, less below it. */
  private void difference(int firstRow, Difference difference) {
    int half = DIFFERENCE_ROWS / 2;
    canvas.putRight(firstRow, LEFT - 2, "+" + Figures.fixed(half * STEP_DB, 0));
    canvas.putRight(firstRow + half, LEFT - 2, "0");
    canvas.putRight(firstRow + DIFFERENCE_ROWS - 1, LEFT - 2, Figures.fixed(-half * STEP_DB, 0));
    String middle = sheet.glyphs().unicode() ? "─" : "-";
    for (Difference.Band band : difference.bands()) {
      int at = column(band.band());
      canvas.put(firstRow + half, at, middle.repeat(width));
      if (band.isFaint()) {
        continue;
      }
      int rows = (int) Math.min(half, Math.round(Math.abs(band.db()) / STEP_DB));
      int way = band.db() > 0 ? -1 : 1;
      for (int i = 1; i <= rows; i++) {
        canvas.put(
            firstRow + half + way * i,
            at,
            sheet.glyphs().full().repeat(Math.max(1, width - 1)),
            band.isNamed() ? Style.OVER : Style.PLAIN);
      }
    }
  }

  private static String named(Difference difference) {
    List<Difference.Band> named = difference.named();
    List<String> words = new ArrayList<>();
    for (int i = 0; i < named.size(); ) {
      int end = i + 1;
      double most = named.get(i).db();
      // Neighbours that are off the same way are told as one stretch.
      while (end < named.size()
          && named.get(end).band() == named.get(end - 1).band() + 1
          && named.get(end).db() > 0 == most > 0) {
        most = Math.abs(named.get(end).db()) > Math.abs(most) ? named.get(end).db() : most;
        end++;
      }
      words.add(words(named.get(i).band(), named.get(end - 1).band(), most));
      i = end;
    }
    return words.isEmpty()
        ? "no band is off by 3 dB or more"
        : "off by 3 dB or more: " + String.join(", ", words);
  }

  /** {@code 25 to 125 Hz up to 7.5 dB more}. */
  private static String words(int from, int to, double mostDb) {
    String first = ThirdOctaves.name(from);
    String last = ThirdOctaves.name(to);
    String unit = last.substring(last.indexOf(' '));
    String where =
        from == to
            ? last
            : (first.endsWith(unit) ? first.replace(unit, "") : first) + " to " + last;
    // Beyond what the plot shows the reference has nothing there worth a figure.
    String by =
        Math.abs(mostDb) > SPAN_DB
            ? " over " + Figures.fixed(SPAN_DB, 0)
            : (from == to ? " " : " up to ") + Figures.fixed(Math.abs(mostDb), 1);
    return where + by + " dB" + (mostDb > 0 ? " more" : " less");
  }

  /** The digit of each leading stem under the band where it has most; and that in words. */
  private void moment(int digitRow, int row) {
    Model model = sheet.model();
    if (model.row().isEmpty()) {
      return;
    }
    Optional<MomentNow> moment = model.momentNow();
    Optional<Bands> bands =
        model.bands().filter(b -> moment.isPresent() && isOf(b, moment.get(), model));
    String time =
        Words.time(model.row().get().head().peakFrame(), model.song().get().sampleRateHz());
    if (bands.isEmpty() || bands.get().stems().isEmpty()) {
      canvas.put(row, 2, "at " + time + ": " + sheet.glyphs().ellipsis());
      return;
    }
    List<String> words = new ArrayList<>();
    int[] stemsIn = new int[ThirdOctaves.COUNT];
    for (Bands.OfStem stem : bands.get().stems()) {
      if (stem.strongest() < 0) {
        continue;
      }
      int place =
          PileRows.placeOf(
              moment.get().pile().contributions(), java.util.OptionalInt.of(stem.stem()));
      if (place >= 0 && place < 9 && stemsIn[stem.strongest()] < width) {
        canvas.put(
            digitRow,
            column(stem.strongest()) + stemsIn[stem.strongest()],
            String.valueOf(place + 1),
            Style.BOLD);
      }
      stemsIn[stem.strongest()]++;
      words.add(
          (place >= 0 && place < 9 ? place + 1 + " " : "")
              + sheet.names().fit(stem.stem(), 16)
              + " "
              + ThirdOctaves.name(stem.strongest()));
    }
    canvas.put(digitRow, 1, "most");
    int below =
        sheet.wrapped(
            row,
            2,
            2,
            "at " + time + " most energy is at: " + String.join(", ", words),
            Style.PLAIN);
    boolean meet = Arrays.stream(stemsIn).anyMatch(count -> count > 1);
    sheet.sentence(
        below,
        2,
        meet ? "they meet at " + meeting(stemsIn) : "no two of them have it in one band",
        sheet.columns() - 2,
        Style.PLAIN);
  }

  private static boolean isOf(Bands bands, MomentNow moment, Model model) {
    return bands.peakFrame() == moment.pile().peakFrame()
        && bands.marks().equals(model.deeds().marks());
  }

  private static String meeting(int[] stemsIn) {
    List<String> bands = new ArrayList<>();
    for (int band = 0; band < stemsIn.length; band++) {
      if (stemsIn[band] > 1) {
        bands.add(ThirdOctaves.name(band) + " (" + stemsIn[band] + ")");
      }
    }
    return String.join(", ", bands);
  }
}
