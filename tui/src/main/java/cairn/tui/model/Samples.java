package cairn.tui.model;

/** A stretch of samples of one channel, for a picture: linear, 1.0 is 0 dBFS. Immutable. */
public final class Samples {

  private final float[] values;

  /**
   * @param values copied
   */
  public Samples(float[] values) {
    this.values = values.clone();
  }

  /** How many there are. */
  public int length() {
    return values.length;
  }

  /** One of them. */
  public float at(int i) {
    return values[i];
  }
}
