package cairn.collisions.moment;

/**
 * What one stem does at a moment; definitions.md, 3.
 *
 * @param stem index of the stem
 * @param amplitude {@code a_k}: what it adds to the peak, linear; negative: it eases the peak
 * @param share {@code a_k / p[n*]}
 * @param levelNear its largest level within 35 ms of the peak, linear
 * @param peakWithout the largest level of the bus without it in the span, linear
 */
public record Contribution(
    int stem, double amplitude, double share, double levelNear, double peakWithout) {

  /** From this share of the peak on a stem leads. */
  public static final double LEADS_FROM = 0.10;

  /** Whether it adds a tenth of the peak or more. */
  public boolean leads() {
    return share >= LEADS_FROM;
  }

  /** Whether it takes from the peak. */
  public boolean eases() {
    return amplitude < 0;
  }
}
