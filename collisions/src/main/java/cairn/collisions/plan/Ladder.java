package cairn.collisions.plan;

import cairn.collisions.Decibels;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Moment;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * How much headroom asks for how many fixes, if each clears its moment; definitions.md, 5.
 *
 * @param rows one a half dB, from the least headroom on; the last is the line itself; none if
 *     nothing is over
 */
public record Ladder(List<Row> rows) {

  private static final double STEP_DB = 0.5;

  /**
   * A step.
   *
   * @param headroomDb by how many dB the highest peak comes down; with a local baseline, the
   *     highest excess
   * @param moments how many moments must be dealt with for that
   * @param fixes how many heads are among them: one fix serves all alike
   */
  public record Row(double headroomDb, int moments, int fixes) {}

  public Ladder {
    rows = List.copyOf(rows);
  }

  /**
   * What the ladder needs of a moment.
   *
   * @param peak its peak, linear
   * @param averagePeak {@code A} there, linear
   * @param head a number that it has in common with those that one fix serves together with it
   */
  record Rung(double peak, double averagePeak, long head) {
    double height(boolean byExcess) {
      return byExcess ? peak / averagePeak : peak;
    }
  }

  /**
   * The ladder of a bus down to its line.
   *
   * @param moments all its moments, grouped, in any order
   * @param line the line that they are over
   */
  public static Ladder of(List<Moment> moments, HeldLine line) {
    return ofRungs(
        moments.stream()
            .map(moment -> new Rung(moment.peak(), moment.averagePeak(), moment.alikeTo()))
            .toList(),
        line);
  }

  static Ladder ofRungs(List<Rung> rungs, HeldLine line) {
    if (rungs.isEmpty()) {
      return new Ladder(List.of());
    }
    // With a line that moves with the song, heights are counted from the average peak below.
    boolean byExcess = !line.isLevel();
    double foot =
        byExcess && line.line() instanceof Line.Margin margin
            ? Decibels.toFactor(margin.marginDb())
            : line.level(0);
    double top = 0;
    for (Rung rung : rungs) {
      top = Math.max(top, rung.height(byExcess));
    }
    List<Row> rows = new ArrayList<>();
    for (int i = 1; top * Decibels.toFactor(-STEP_DB * i) > foot; i++) {
      rows.add(row(STEP_DB * i, rungs, byExcess, top * Decibels.toFactor(-STEP_DB * i)));
    }
    double whole = Decibels.ofAmplitude(top) - Decibels.ofAmplitude(foot);
    rows.add(row(whole, rungs, byExcess, 0));
    return new Ladder(rows);
  }

  private static Row row(double headroomDb, List<Rung> rungs, boolean byExcess, double over) {
    int count = 0;
    Set<Long> heads = new HashSet<>();
    for (Rung rung : rungs) {
      if (rung.height(byExcess) > over) {
        count++;
        heads.add(rung.head());
      }
    }
    return new Row(headroomDb, count, heads.size());
  }
}
