package cairn.io.cache;

import cairn.collisions.Session;
import cairn.collisions.line.HeldLine;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Contributions;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverLine;
import cairn.collisions.moment.OverRun;
import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** The moments over a line as an entry and back; the layout stands with the package. */
final class MomentsFormat {

  private static final Sections.Kind KIND = new Sections.Kind("cairnmom", 1);

  private static final int RUNS = Sections.tag("RUNS");
  private static final int MOMENTS = Sections.tag("MOMT");
  private static final int STEMS = Sections.tag("STMS");
  private static final int CONTRIBUTIONS = Sections.tag("CONT");

  private static final int RUN_BYTES = 9 * Long.BYTES;
  private static final int MOMENT_BYTES = 5 * Long.BYTES;

  /** Amplitude, level near, peak without. */
  private static final int NUMBERS = 3;

  private MomentsFormat() {}

  /**
   * The bytes of an entry.
   *
   * @throws ArithmeticException if it has more than 2 GiB
   */
  static byte[] write(byte[] key, OverLine over) {
    List<Moment> moments = over.moments();
    int stems = moments.isEmpty() ? 0 : moments.get(0).contributions().size();
    int count = moments.size();
    Map<Long, Integer> runAt = new HashMap<>();
    ByteBuffer runs = buffer(RUN_BYTES, count);
    for (OverRun run : over.runs()) {
      runAt.put(run.peakFrame(), runAt.size());
      runs.putLong(run.firstOver()).putLong(run.lastOver()).putLong(run.peakFrame());
      runs.putLong(run.channel()).putDouble(run.peak()).putLong(run.overFrames());
      runs.putLong(run.leadingRun()).putLong(run.trailingRun()).putLong(run.longestRun());
    }
    ByteBuffer heads = buffer(MOMENT_BYTES, count);
    int all = Math.multiplyExact(count, stems);
    ByteBuffer places = buffer(Integer.BYTES, all);
    ByteBuffer numbers = buffer(NUMBERS * Double.BYTES, all);
    for (Moment moment : moments) {
      heads.putLong(runAt.get(moment.peakFrame())).putLong(moment.depth());
      heads.putLong(moment.alikeTo()).putLong(moment.alike()).putDouble(moment.instant());
      for (Contribution c : moment.contributions()) {
        places.putInt(c.stem());
        numbers.putDouble(c.amplitude()).putDouble(c.levelNear()).putDouble(c.peakWithout());
      }
    }
    Map<Integer, ByteBuffer> sections = new LinkedHashMap<>();
    sections.put(RUNS, runs.flip());
    sections.put(MOMENTS, heads.flip());
    sections.put(STEMS, places.flip());
    sections.put(CONTRIBUTIONS, numbers.flip());
    return Sections.join(KIND, key, sections);
  }

  private static ByteBuffer buffer(int each, int count) {
    return Sections.buffer(new byte[Math.multiplyExact(each, count)]);
  }

  /**
   * Reads an entry.
   *
   * @param key the key that it must have
   * @param line the line that its moments are over
   * @throws Sections.Damaged if it is not whole, or not what was asked for
   */
  static OverLine read(byte[] bytes, byte[] key, Session session, HeldLine line)
      throws Sections.Damaged {
    Map<Integer, ByteBuffer> sections = Sections.split(KIND, bytes, key);
    ByteBuffer heads = Sections.section(sections, MOMENTS);
    ByteBuffer places = Sections.section(sections, STEMS);
    ByteBuffer numbers = Sections.section(sections, CONTRIBUTIONS);
    List<OverRun> runs = runs(Sections.section(sections, RUNS));
    int stems = session.stems().size();
    long all = (long) runs.size() * stems;
    if (heads.remaining() != (long) MOMENT_BYTES * runs.size()
        || places.remaining() != Integer.BYTES * all
        || numbers.remaining() != NUMBERS * Double.BYTES * all) {
      throw new Sections.Damaged("its parts do not fit each other");
    }
    try {
      List<Moment> moments = new ArrayList<>(runs.size());
      int[] stem = new int[stems];
      double[] values = new double[NUMBERS * stems];
      for (int i = 0; i < runs.size(); i++) {
        places.asIntBuffer().get(stem);
        places.position(places.position() + Integer.BYTES * stem.length);
        numbers.asDoubleBuffer().get(values);
        numbers.position(numbers.position() + Double.BYTES * values.length);
        OverRun run = runs.get(Math.toIntExact(heads.getLong()));
        List<Contribution> contributions = Contributions.of(stem, values, run.peak());
        moments.add(moment(i + 1, run, heads, contributions, session, line));
      }
      return new OverLine(runs, moments);
    } catch (IllegalArgumentException | IndexOutOfBoundsException | ArithmeticException e) {
      throw new Sections.Damaged("its parts do not fit each other", e);
    }
  }

  private static List<OverRun> runs(ByteBuffer from) throws Sections.Damaged {
    if (from.remaining() % RUN_BYTES != 0) {
      throw new Sections.Damaged("its parts do not fit each other");
    }
    List<OverRun> runs = new ArrayList<>(from.remaining() / RUN_BYTES);
    while (from.hasRemaining()) {
      runs.add(
          new OverRun(
              from.getLong(),
              from.getLong(),
              from.getLong(),
              (int) from.getLong(),
              from.getDouble(),
              from.getLong(),
              from.getLong(),
              from.getLong(),
              from.getLong()));
    }
    return runs;
  }

  /** Takes the rest of a moment; what stands in its run or its line was written once. */
  private static Moment moment(
      int rank,
      OverRun run,
      ByteBuffer heads,
      List<Contribution> contributions,
      Session session,
      HeldLine line) {
    int depth = Math.toIntExact(heads.getLong());
    int alikeTo = Math.toIntExact(heads.getLong());
    int alike = Math.toIntExact(heads.getLong());
    double instant = heads.getDouble();
    return new Moment(
        rank,
        run.peakFrame(),
        run.channel(),
        run.peak(),
        line.averagePeakAt(run.peakFrame()),
        line.levelAt(run.peakFrame()),
        run.firstOver(),
        run.lastOver(),
        run.overFrames(),
        run.longestRun(),
        depth,
        OverRun.isLong(run.firstOver(), run.lastOver(), session.sampleRateHz()),
        contributions,
        alikeTo,
        alike,
        instant);
  }
}
