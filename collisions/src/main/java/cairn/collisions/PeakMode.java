package cairn.collisions;

/** What a level is read from; definitions.md, 1. */
public enum PeakMode {
  /** Samples: levels are in dBFS. */
  SAMPLE_PEAK("dBFS"),
  /** Samples and four instants between each and the next: levels are in dBTP. */
  TRUE_PEAK("dBTP");

  private final String unit;

  PeakMode(String unit) {
    this.unit = unit;
  }

  /** {@code dBFS} or {@code dBTP}. */
  public String unit() {
    return unit;
  }
}
