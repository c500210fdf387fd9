package cairn.collisions.loudness;

/**
 * K-weights two channels and adds up the energy of what comes out. For one thread.
 *
 * <p>Both stages are transposed direct forms with the output put into the feedback, so that a state
 * depends on the last one by one product and one difference; and stage 1 brings out {@code v / b0},
 * which saves a product a sample and is made up for once a hop: {@link #energyFactor}.
 */
final class KFilter {

  /** Below this an echo in the filter is put to rest: far under a unit in the last place. */
  private static final double REST = 1e-100;

  private final double s1OfX;
  private final double s2OfX;
  private final double a1;
  private final double a2;
  private final double t1OfV;
  private final double t2OfV;
  private final double h1;
  private final double h2;
  private final double energyFactor;

  /** States of stage 1, left and right. */
  private double ls1;

  private double ls2;
  private double rs1;
  private double rs2;

  /** States of stage 2. */
  private double lt1;

  private double lt2;
  private double rt1;
  private double rt2;
  private double plainEnergy;

  KFilter(KWeighting k) {
    a1 = k.a1();
    a2 = k.a2();
    h1 = k.highPassA1();
    h2 = k.highPassA2();
    s1OfX = k.b1() / k.b0() - a1;
    s2OfX = k.b2() / k.b0() - a2;
    t1OfV = -2 - h1;
    t2OfV = 1 - h2;
    energyFactor = k.b0() * k.b0();
  }

  /** What the energies of {@link #run} are to be multiplied by. */
  double energyFactor() {
    return energyFactor;
  }

  /** As after silence without a beginning. */
  void reset() {
    ls1 = 0;
    ls2 = 0;
    lt1 = 0;
    lt2 = 0;
    rs1 = 0;
    rs2 = 0;
    rt1 = 0;
    rt2 = 0;
  }

  /** Whether silence would bring out silence. */
  boolean isAtRest() {
    return areZero(ls1, ls2, lt1, lt2) && areZero(rs1, rs2, rt1, rt2);
  }

  private static boolean areZero(double a, double b, double c, double d) {
    return a == 0 && b == 0 && c == 0 && d == 0;
  }

  /**
   * Puts an echo to rest that has died away. Else it would go on into subnormal numbers, which take
   * a hundred times as long. Called at frames that do not depend on how the samples come.
   */
  void settle() {
    if (Math.abs(ls1) + Math.abs(ls2) + Math.abs(rs1) + Math.abs(rs2) < REST) {
      ls1 = 0;
      ls2 = 0;
      rs1 = 0;
      rs2 = 0;
    }
    if (Math.abs(lt1) + Math.abs(lt2) + Math.abs(rt1) + Math.abs(rt2) < REST) {
      lt1 = 0;
      lt2 = 0;
      rt1 = 0;
      rt2 = 0;
    }
  }

  /** What {@link #run} was given with the squares of its input added in frame order. */
  double plainEnergy() {
    return plainEnergy;
  }

  /**
   * Filters {@code left[from : to]} and {@code right[from : to]}, which may be one array, and
   * returns {@code energy} with the squares of both channels' output added in frame order, to be
   * multiplied by {@link #energyFactor}.
   *
   * @param plain what the squares of both channels' input are added to: {@link #plainEnergy}
   */
  double run(double[] left, double[] right, int from, int to, double energy, double plain) {
    return left == right && bothAreAlike()
        ? runOne(left, from, to, energy, plain)
        : runBoth(left, right, from, to, energy, plain);
  }

  /** Silence comes as one array too, after channels that were not. */
  private boolean bothAreAlike() {
    return ls1 == rs1 && ls2 == rs2 && lt1 == rt1 && lt2 == rt2;
  }

  /** One channel in both places: the same to the bit, since doubling is exact. */
  private double runOne(double[] left, int from, int to, double energy, double plain) {
    double xs1 = s1OfX;
    double xs2 = s2OfX;
    double f1 = a1;
    double f2 = a2;
    double vt1 = t1OfV;
    double vt2 = t2OfV;
    double g1 = h1;
    double g2 = h2;
    double sum = energy;
    double plainSum = plain;
    double s1 = ls1;
    double s2 = ls2;
    double t1 = lt1;
    double t2 = lt2;
    for (int i = from; i < to; i++) {
      double x = left[i];
      double v = x + s1;
      double nextS1 = (xs1 * x + s2) - f1 * s1;
      s2 = xs2 * x - f2 * s1;
      s1 = nextS1;
      double y = v + t1;
      double nextT1 = (vt1 * v + t2) - g1 * t1;
      t2 = vt2 * v - g2 * t1;
      t1 = nextT1;
      sum += 2 * (y * y);
      plainSum += 2 * (x * x);
    }
    ls1 = s1;
    ls2 = s2;
    lt1 = t1;
    lt2 = t2;
    rs1 = s1;
    rs2 = s2;
    rt1 = t1;
    rt2 = t2;
    plainEnergy = plainSum;
    return sum;
  }

  /**
   * Both channels run in one loop, so that one's arithmetic fills the other's waits: 3.1 ns a frame
   * (OpenJDK 17, x86-64 with AVX-512; 3.5 without), where direct form I, with twelve states in
   * place of eight, took 3.7 (6.7 without).
   */
  private double runBoth(
      double[] left, double[] right, int from, int to, double energy, double plain) {
    double xs1 = s1OfX;
    double xs2 = s2OfX;
    double f1 = a1;
    double f2 = a2;
    double vt1 = t1OfV;
    double vt2 = t2OfV;
    double g1 = h1;
    double g2 = h2;
    double sum = energy;
    double plainSum = plain;
    double s1 = ls1;
    double s2 = ls2;
    double t1 = lt1;
    double t2 = lt2;
    double q1 = rs1;
    double q2 = rs2;
    double u1 = rt1;
    double u2 = rt2;
    for (int i = from; i < to; i++) {
      double x = left[i];
      double v = x + s1;
      double nextS1 = (xs1 * x + s2) - f1 * s1;
      s2 = xs2 * x - f2 * s1;
      s1 = nextS1;
      double y = v + t1;
      double nextT1 = (vt1 * v + t2) - g1 * t1;
      t2 = vt2 * v - g2 * t1;
      t1 = nextT1;
      double rx = right[i];
      double rv = rx + q1;
      double nextQ1 = (xs1 * rx + q2) - f1 * q1;
      q2 = xs2 * rx - f2 * q1;
      q1 = nextQ1;
      double ry = rv + u1;
      double nextU1 = (vt1 * rv + u2) - g1 * u1;
      u2 = vt2 * rv - g2 * u1;
      u1 = nextU1;
      sum += y * y + ry * ry;
      plainSum += x * x + rx * rx;
    }
    ls1 = s1;
    ls2 = s2;
    lt1 = t1;
    lt2 = t2;
    rs1 = q1;
    rs2 = q2;
    rt1 = u1;
    rt2 = u2;
    plainEnergy = plainSum;
    return sum;
  }
}
