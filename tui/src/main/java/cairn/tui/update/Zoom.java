package cairn.tui.update;

import cairn.io.listing.Figures;
import java.util.List;

/** How wide the close-up is. */
public final class Zoom {

  /** Columns left of all plots, for the figures of their axes. */
  public static final int GUTTER = 6;

  /** 0 stands for one sample a column. */
  private static final List<Double> MILLIS = List.of(0.0, 3.0, 10.0, 30.0, 100.0, 200.0);

  private Zoom() {}

  static int widths() {
    return MILLIS.size();
  }

  /**
   * Samples between two dots, of which a column has two; half a sample is the least.
   *
   * @param columns columns of the close-up
   */
  public static double perDot(int zoom, int columns, int sampleRateHz) {
    return Math.max(0.5, MILLIS.get(zoom) * sampleRateHz / 1000 / (2 * columns));
  }

  /** How wide it is in so many columns: {@code 10 ms}. */
  public static String width(int zoom, int columns, int sampleRateHz) {
    double millis = 1000 * perDot(zoom, columns, sampleRateHz) * 2 * columns / sampleRateHz;
    return Figures.fixed(millis, millis < 9.95 ? 1 : 0).replaceFirst("\\.0$", "") + " ms";
  }
}
