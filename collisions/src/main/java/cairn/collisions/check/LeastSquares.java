package cairn.collisions.check;

/** Solves normal equations. */
final class LeastSquares {

  /** What is left of a row beside those before it is rounding below this part. */
  private static final double SINGULAR = 1e-9;

  private LeastSquares() {}

  /**
   * The factors of a least-squares fit; 0 for a row that the rows before it hold already.
   *
   * @param a {@code a[i][j]}: product of rows i and j, and in {@code a[i][size]} that of row i with
   *     what is fitted; symmetric, used up
   */
  static double[] solve(double[][] a) {
    int size = a.length;
    boolean[] held = new boolean[size];
    for (int i = 0; i < size; i++) {
      double before = a[i][i];
      for (int c = 0; c < i; c++) {
        if (!held[c]) {
          double factor = a[i][c] / a[c][c];
          for (int j = c; j <= size; j++) {
            a[i][j] -= factor * a[c][j];
          }
        }
      }
      held[i] = !(a[i][i] > SINGULAR * before);
    }
    double[] x = new double[size];
    for (int i = size - 1; i >= 0; i--) {
      if (!held[i]) {
        double value = a[i][size];
        for (int c = i + 1; c < size; c++) {
          value -= a[i][c] * x[c];
        }
        x[i] = value / a[i][i];
      }
    }
    return x;
  }
}
