package cairn.collisions.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;

import cairn.collisions.ArrayStems;
import cairn.collisions.Pass;
import cairn.collisions.Settings;
import cairn.collisions.fix.Trim;
import cairn.collisions.line.Baseline;
import cairn.collisions.line.Line;
import java.io.IOException;
import java.util.List;
import org.junit.jupiter.api.Test;

class LadderTest {

  private static final int RATE = 8_000;

  /** Clicks of one stem at known levels, far from each other, in 5 s. */
  private static ArrayStems clicks() {
    return new ArrayStems(RATE)
        .mono(
            "caixa",
            40_000,
            n ->
                n == 5_000
                    ? level(0)
                    : n == 12_000
                        ? level(-0.3)
                        : n == 20_000 ? level(-0.9) : n == 33_000 ? level(-1.2) : 0)
        .mono("surdo", 40_000, n -> n == 20_000 ? 0.001 : 0);
  }

  private static double level(double db) {
    return Math.pow(10, db / 20);
  }

  @Test
  void eachHalfDecibelCountsTheMomentsAboveIt() {
    // Peaks 0, −0.3, −0.9 and −1.2 dBFS, the line at −1.4: at 0.5 dB two stand above, at 1.0 dB
    // three, at the line (1.4 dB) all. A lone click is alike to every other of the same stem.
    Pass pass = clicks().analyse(Settings.DEFAULT.withLine(new Line.Level(-1.4)));

    List<Ladder.Row> rows = Ladder.of(pass.moments(), pass.line()).rows();

    assertEquals(3, rows.size());
    assertEquals(new Ladder.Row(0.5, 2, 1), rows.get(0));
    assertEquals(new Ladder.Row(1.0, 3, 1), rows.get(1));
    assertEquals(1.4, rows.get(2).headroomDb(), 1e-9);
    assertEquals(4, rows.get(2).moments());
    assertEquals(1, rows.get(2).fixes());
  }

  @Test
  void aStepThatFallsOnTheLineIsTheLastRowAndNoOther() {
    // −1.0 dBFS is 1.0 dB under the peak of 0 dBFS: rows 0.5 and the line.
    Pass pass = clicks().analyse(Settings.DEFAULT.withLine(new Line.Level(-1.0)));

    List<Ladder.Row> rows = Ladder.of(pass.moments(), pass.line()).rows();

    assertEquals(2, rows.size());
    assertEquals(1.0, rows.get(1).headroomDb(), 1e-12);
    assertEquals(3, rows.get(1).moments());
  }

  @Test
  void nothingOverHasNoRows() {
    Pass pass = clicks().analyse(Settings.DEFAULT.withLine(new Line.Level(3)));

    assertEquals(List.of(), Ladder.of(pass.moments(), pass.line()).rows());
  }

  @Test
  void withALocalBaselineItGoesByExcessDownToTheMargin() {
    // 60 s: 40 windows at 0.1 with a spike of 0.4 in window 10, 40 silent ones, 40 at 0.5 with a
    // spike of 0.8 in window 100. Within 16 windows of the first spike lie 0 to 26: 26 of 0.1 and
    // itself, A = 3/27; of the second 84 to 116: 32 of 0.5 and itself, A = 16.8/33. All pass the
    // gate: (39 · 0.1 + 0.4 + 39 · 0.5 + 0.8) / 80 = 0.3075, 10 dB under it 0.0972.
    // Excess 11.13 dB and 3.93 dB: by level the order would be the other way round.
    ArrayStems stems =
        new ArrayStems(RATE)
            .mono(
                "bed",
                60 * RATE,
                n -> {
                  long window = n / 4_000;
                  double size = window < 40 ? 0.1 : window < 80 ? 0 : 0.5;
                  return n % 4_000 == 2_000 ? window == 10 ? 0.4 : window == 100 ? 0.8 : size : 0;
                });
    Pass pass = stems.analyse(Settings.DEFAULT.withBaseline(Baseline.LOCAL));
    double first = 20 * Math.log10(0.4 / (3.0 / 27));
    double second = 20 * Math.log10(0.8 / (16.8 / 33));

    List<Ladder.Row> rows = Ladder.of(pass.moments(), pass.line()).rows();

    Ladder.Row last = rows.get(rows.size() - 1);
    assertEquals(first - 1.0, last.headroomDb(), 1e-9);
    assertEquals(2, last.moments());
    for (Ladder.Row row : rows.subList(0, rows.size() - 1)) {
      assertEquals(second > first - row.headroomDb() ? 2 : 1, row.moments());
    }
    assertEquals(0.5, rows.get(0).headroomDb(), 0);
    assertEquals(1, rows.get(0).moments());
  }

  @Test
  void aWhatIfHasItsOwnLadder() throws IOException {
    ArrayStems stems = clicks();
    Pass pass = stems.analyse(Settings.DEFAULT.withLine(new Line.Level(-1.4)));
    try (WhatIf plain = WhatIf.of(pass, stems)) {
      Mark trim = Mark.of(5_000, new Trim(0, 4_900, 5_100, 24));
      List<Ladder.Row> rows = plain.with(trim).ladder(pass.moments()).rows();

      // The highest is now −0.3: 1.1 dB over the line, three moments of one shape.
      assertEquals(3, rows.size());
      assertEquals(new Ladder.Row(0.5, 1, 1), rows.get(0));
      assertEquals(new Ladder.Row(1.0, 3, 1), rows.get(1));
      assertEquals(1.1, rows.get(2).headroomDb(), 1e-9);
    }
  }
}
