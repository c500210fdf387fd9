package cairn.tui.update;

import java.util.List;

/** How wide the close-up is. */
public final class Zoom {

  /** 0 stands for one sample a column. */
  private static final List<Double> MILLIS = List.of(0.0, 3.0, 10.0, 30.0, 100.0, 200.0);

  private Zoom() {}

  static int widths() {
    return MILLIS.size();
  }

  /** Its width in ms; 0: one sample a column. */
  public static double millis(int zoom) {
    return MILLIS.get(zoom);
  }
}
