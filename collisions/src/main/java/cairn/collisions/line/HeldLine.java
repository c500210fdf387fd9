package cairn.collisions.line;

import cairn.collisions.PeakMode;
import cairn.collisions.TimeRange;
import java.util.Optional;

/**
 * The average peak and the line of one pass, held for all that is compared with it; definitions.md,
 * 2 and 3.
 */
public final class HeldLine {

  private final WindowGrid grid;
  private final AveragePeak averagePeak;
  private final Line line;
  private final double[] level;
  private final TimeRange loudPart;
  private final PeakMode mode;

  private HeldLine(
      WindowGrid grid, AveragePeak averagePeak, Line line, TimeRange loudPart, PeakMode mode) {
    this.mode = mode;
    this.grid = grid;
    this.averagePeak = averagePeak;
    this.line = line;
    this.loudPart = loudPart;
    level = new double[grid.windows()];
    for (int j = 0; j < level.length; j++) {
      level[j] = line.level(averagePeak.at(j));
    }
  }

  /**
   * Draws the line over sample peaks.
   *
   * @param section the section that stands for the loud part, or empty to find the loudest 30 s
   * @return empty if the windows asked for are silent
   */
  public static Optional<HeldLine> draw(
      Summary summary,
      int sampleRateHz,
      Baseline baseline,
      Optional<TimeRange> section,
      Line line) {
    return draw(summary, sampleRateHz, baseline, section, line, PeakMode.SAMPLE_PEAK);
  }

  /**
   * Draws the line.
   *
   * @param section the section that stands for the loud part, or empty to find the loudest 30 s
   * @param mode what the levels of the summary were read from
   * @return empty if the windows asked for are silent
   */
  public static Optional<HeldLine> draw(
      Summary summary,
      int sampleRateHz,
      Baseline baseline,
      Optional<TimeRange> section,
      Line line,
      PeakMode mode) {
    WindowGrid grid = summary.grid();
    int[] loud =
        section.isPresent()
            ? LoudPart.named(grid, section.get())
            : LoudPart.find(grid, summary.windowEnergy, sampleRateHz);
    Optional<AveragePeak> averagePeak =
        switch (baseline) {
          case LOUD -> AveragePeak.of(summary.windowPeak, loud[0], loud[1]);
          case SONG -> AveragePeak.of(summary.windowPeak, 0, grid.windows());
          case LOCAL -> AveragePeak.local(summary.windowPeak);
        };
    return averagePeak.map(a -> new HeldLine(grid, a, line, LoudPart.range(grid, loud), mode));
  }

  /** The same average peak with another line. */
  public HeldLine with(Line other) {
    return new HeldLine(grid, averagePeak, other, loudPart, mode);
  }

  /** What all levels that are held against the line are read from. */
  public PeakMode mode() {
    return mode;
  }

  /** The windows. */
  public WindowGrid grid() {
    return grid;
  }

  /** {@code A}, or the average peaks where it is local. */
  public AveragePeak averagePeak() {
    return averagePeak;
  }

  /** How the line was asked for. */
  public Line line() {
    return line;
  }

  /** The loud part, found or named, in whole windows. */
  public TimeRange loudPart() {
    return loudPart;
  }

  /** {@code T} in window {@code j}, linear. */
  public double level(int j) {
    return level[j];
  }

  /** {@code T} at a frame, linear. */
  public double levelAt(long frame) {
    return level[grid.windowOf(frame)];
  }

  /** {@code A} at a frame, linear. */
  public double averagePeakAt(long frame) {
    return averagePeak.at(grid.windowOf(frame));
  }

  /** Whether {@code T} is the same everywhere. */
  public boolean isLevel() {
    return !averagePeak.isLocal() || !(line instanceof Line.Margin);
  }
}
