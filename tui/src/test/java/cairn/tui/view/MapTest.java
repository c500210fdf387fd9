package cairn.tui.view;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Pass;
import cairn.collisions.line.Baseline;
import cairn.collisions.line.Line;
import cairn.tui.model.Draft;
import cairn.tui.model.Model;
import cairn.tui.model.Size;
import cairn.tui.model.Song;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;

/** The storeys of the map, wherever the line stands. */
class MapTest {

  private static final ParadeModels PARADE = ParadeModels.all();

  /** The three rows of the map at 80 by 24. */
  private static List<String> map(Line line, Baseline baseline) {
    Pass pass =
        PARADE.stems.analysed(
            PARADE.song.pass().settings().withLine(line).withBaseline(baseline).withoutGoal());
    Song song = ParadeSong.song(pass, PARADE.song.stems(), PARADE.song.groups());
    Draft draft = new Draft(Model.start(new Size(80, 24), ParadeModels.UTF_8, "Lantern Row"));
    draft.song = Optional.of(song);
    return List.of(Pictures.draw(draft.model()).asText().split("\n", -1)).subList(3, 6);
  }

  /** What stands left of the map, without rows that have nothing there. */
  private static List<String> labels(List<String> map) {
    List<String> labels = new ArrayList<>();
    for (String row : map) {
      String label = row.substring(0, Math.min(row.length(), Layout.GUTTER)).strip();
      if (!label.isEmpty()) {
        labels.add(label);
      }
    }
    return labels;
  }

  @Test
  void aLineOverTheAveragePeakHasThreeStoreysEachWithItsUpperEdge() {
    assertEquals(3, labels(map(new Line.Margin(1), Baseline.LOUD)).size());
    assertEquals(List.of("over", "line", "mean"), labels(map(new Line.Margin(1), Baseline.LOCAL)));
  }

  @Test
  void aLineAtTheAveragePeakOrUnderItLeavesNoStoreyBetweenThem() {
    for (double margin : new double[] {0, -0.3, -1, -6}) {
      List<String> labels = labels(map(new Line.Margin(margin), Baseline.LOUD));
      assertEquals(2, labels.size(), "margin " + margin);
      assertNotEquals(labels.get(0), labels.get(1), "margin " + margin);
    }
    assertEquals(List.of("over", "line"), labels(map(new Line.Margin(-1), Baseline.LOCAL)));
  }

  @Test
  void theLowestStoreyHasTheRowsOfBothAndEndsAtTheLine() {
    List<String> map = map(new Line.Margin(-1), Baseline.LOUD);
    int over = 0;
    int under = 0;
    for (int column = Layout.GUTTER; column < map.get(1).length(); column++) {
      boolean isOver = column < map.get(0).length() && map.get(0).charAt(column) != ' ';
      boolean isHigh = map.get(1).charAt(column) != ' ';
      assertTrue(isHigh || !isOver, "column " + column);
      over += isOver ? 1 : 0;
      under += isHigh && !isOver ? 1 : 0;
    }
    assertTrue(over > 0);
    // What does not reach the line stands in the row of the middle storey too.
    assertTrue(under > 0);
  }
}
