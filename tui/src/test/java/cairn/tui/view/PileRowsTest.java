package cairn.tui.view;

import static org.junit.jupiter.api.Assertions.assertEquals;

import cairn.collisions.moment.Contribution;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.OptionalInt;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;

/** Which stems of a pile have a row of their own. */
class PileRowsTest {

  /** Stems 0, 1 ... with these shares in percent. */
  private static List<Contribution> pile(double... percent) {
    List<Contribution> pile = new ArrayList<>();
    for (int k = 0; k < percent.length; k++) {
      pile.add(new Contribution(k, percent[k] / 100, percent[k] / 100, 0.5, 0.5));
    }
    return pile;
  }

  private static double[] shares(int leading, int tiny, int easing) {
    double[] percent = new double[leading + tiny + easing];
    for (int k = 0; k < percent.length; k++) {
      percent[k] = k < leading ? 9 : k < leading + tiny ? 0.4 : -(k - leading - tiny + 1);
    }
    return percent;
  }

  /**
   * Rows from top to bottom: a stem's number, or how many are folded; then their sum in percent.
   */
  private static String rows(double[] percent, int most, OptionalInt picked) {
    return PileRows.of(pile(percent), Collections.nCopies(percent.length, ""), most, picked)
        .stream()
        .map(
            row ->
                (row.one() == null ? "+" + row.folded() : "" + row.one().stem())
                    + ":"
                    + Math.round(1000 * (row.to() - row.from())) / 10.0)
        .collect(Collectors.joining(" "));
  }

  @Test
  void allStandAloneWhereThereIsRoom() {
    assertEquals("0:9.0 1:9.0 2:0.4 3:0.4 4:-1.0", rows(shares(2, 2, 1), 7, OptionalInt.empty()));
  }

  @Test
  void whatThereIsNoRoomForIsFoldedBeforeTheStemThatEasesMost() {
    assertEquals("0:9.0 1:9.0 +4:17.4 6:-2.0", rows(shares(4, 1, 2), 4, OptionalInt.empty()));
    assertEquals("0:9.0 3:9.0 +4:17.4 6:-2.0", rows(shares(4, 1, 2), 4, OptionalInt.of(3)));
  }

  @Test
  void whereFewAddThoseThatEaseMostStandAlone() {
    assertEquals(
        "0:9.0 1:9.0 +8:-36.0 10:-9.0 11:-10.0", rows(shares(2, 0, 10), 5, OptionalInt.empty()));
  }

  @Test
  void ofManyStemsThoseThatAddNothingAreFoldedThoughThereIsRoom() {
    assertEquals(
        "0:9.0 1:9.0 2:9.0 +18:7.2 21:-1.0 22:-2.0",
        rows(shares(3, 18, 2), 30, OptionalInt.empty()));
    assertEquals(
        "0:9.0 1:9.0 2:9.0 7:0.4 +17:6.8 21:-1.0 22:-2.0",
        rows(shares(3, 18, 2), 30, OptionalInt.of(7)));
    assertEquals("+20:8.0", rows(shares(0, 20, 0), 30, OptionalInt.empty()));
    // One alone needs no row more than the fold would.
    assertEquals("19:0.4", rows(shares(19, 1, 0), 30, OptionalInt.empty()).replaceFirst(".* ", ""));
  }
}
