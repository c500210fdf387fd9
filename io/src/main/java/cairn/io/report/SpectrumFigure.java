package cairn.io.report;

import cairn.collisions.spectrum.Difference;
import cairn.collisions.spectrum.ThirdOctaves;
import cairn.io.listing.CompareReport;
import cairn.io.listing.Figures;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;

/** The long-term spectrum of the sum beside that of a finished track, matched in loudness. */
final class SpectrumFigure {

  private static final double WIDTH = 480;
  private static final double HEIGHT = 160;
  private static final double GAP = 14;
  private static final double BAND_HEIGHT = 80;

  /** The difference is drawn up to here. */
  private static final double MOST_DB = 12;

  private static final int[] LABELLED = {2, 6, 10, 14, 18, 22, 26, 29};

  private SpectrumFigure() {}

  static void write(Html html, CompareReport compared) {
    List<Difference.Band> bands =
        compared.difference().bands().stream()
            .filter(band -> Double.isFinite(band.hereDb()) && Double.isFinite(band.thereDb()))
            .toList();
    html.open("p").text("The sum of the stems beside ").name(compared.otherName());
    html.text(
        String.format(
            Locale.ROOT,
            ", which is brought to the same loudness (%s dB). ",
            Figures.signed(compared.gainDb(), 2)));
    List<Difference.Band> named = compared.difference().named();
    html.text(
        named.isEmpty()
            ? "No band is off by 3 dB or more."
            : "Off by 3 dB and more: "
                + named.stream()
                    .map(
                        band ->
                            ThirdOctaves.name(band.band())
                                + " "
                                + Figures.fixed(Math.abs(band.db()), 1)
                                + (band.db() > 0 ? " dB more" : " dB less"))
                    .collect(Collectors.joining(", "))
                + ".");
    html.close("p");
    if (bands.size() < 2) {
      return;
    }
    picture(html, bands);
    html.open("div", "class", "wide", "role", "region", "tabindex", "0", "aria-label", "Bands");
    html.open("table").element("caption", "Third-octave bands, dB");
    html.open("thead").open("tr");
    for (String head : List.of("band", "sum", "reference", "difference")) {
      html.element("th", head, "scope", "col");
    }
    html.close("tr").close("thead").open("tbody");
    for (Difference.Band band : bands) {
      html.open("tr").element("th", ThirdOctaves.name(band.band()), "scope", "row");
      html.element("td", Figures.fixed(band.hereDb(), 1));
      html.element("td", Figures.fixed(band.thereDb(), 1));
      html.element("td", Figures.signed(band.db(), 1) + (band.isNamed() ? " !" : ""));
      html.close("tr");
    }
    html.close("tbody").close("table").close("div");
  }

  private static void picture(Html html, List<Difference.Band> bands) {
    double top = Double.NEGATIVE_INFINITY;
    for (Difference.Band band : bands) {
      top = Math.max(top, Math.max(band.hereDb(), band.thereDb()));
    }
    double bottom = top;
    for (Difference.Band band : bands) {
      bottom = Math.min(bottom, Math.min(band.hereDb(), band.thereDb()));
    }
    // What lies far below is not heard, and would flatten the rest.
    bottom = Math.max(bottom, top - 70);
    top += 2;
    int n = bands.size();
    double[] x = new double[n];
    double[] here = new double[n];
    double[] there = new double[n];
    for (int i = 0; i < n; i++) {
      x[i] = WIDTH * (i + 0.5) / n;
      here[i] = HEIGHT * (top - Math.max(bottom, bands.get(i).hereDb())) / (top - bottom);
      there[i] = HEIGHT * (top - Math.max(bottom, bands.get(i).thereDb())) / (top - bottom);
    }
    Drawing drawing =
        new Drawing(
            "spectrum",
            WIDTH,
            HEIGHT + GAP + BAND_HEIGHT,
            "Spectrum of the sum and of the reference",
            "Two curves over third-octave bands from "
                + ThirdOctaves.name(bands.get(0).band())
                + " to "
                + ThirdOctaves.name(bands.get(n - 1).band())
                + ", and below them a bar for the difference in each; the table has the figures.");
    drawing.curve(x, there, "after");
    drawing.curve(x, here, "before");
    double zero = HEIGHT + GAP + BAND_HEIGHT / 2;
    for (double db : new double[] {-Difference.NAMED_DB, Difference.NAMED_DB}) {
      double y = zero - db / MOST_DB * BAND_HEIGHT / 2;
      drawing.line(0, y, WIDTH, y, "mean");
    }
    drawing.line(0, zero, WIDTH, zero, "zero");
    for (int i = 0; i < n; i++) {
      double db = Math.max(-MOST_DB, Math.min(MOST_DB, bands.get(i).db()));
      double height = Math.abs(db) / MOST_DB * BAND_HEIGHT / 2;
      drawing.rectangle(
          WIDTH * i / n + 2,
          db > 0 ? zero - height : zero,
          WIDTH / n - 4,
          Math.max(0.5, height),
          bands.get(i).isNamed() ? "over" : "pebble");
    }
    html.open("figure", "class", "bands");
    html.open("div", "class", "frame tall").tree(drawing.root());
    html.close("div");
    html.open("div", "class", "times", "aria-hidden", "true");
    for (int i = 0; i < n; i++) {
      int band = bands.get(i).band();
      for (int labelled : LABELLED) {
        if (labelled == band) {
          html.element(
              "span",
              ThirdOctaves.name(band),
              "style",
              String.format(Locale.ROOT, "left:%.2f%%", 100 * (i + 0.5) / n));
        }
      }
    }
    html.close("div");
    html.open("figcaption").open("span", "class", "key before-key").close("span");
    html.text("sum  ").open("span", "class", "key after-key").close("span");
    html.text(
        "dashed: reference. Bars: upwards, the sum has more; the thin lines stand at 3 dB either"
            + " way, and bars beyond them are the bands named above.");
    html.close("figcaption").close("figure");
  }
}
