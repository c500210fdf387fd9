package cairn.collisions.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;

import cairn.collisions.Stem;
import java.util.List;
import org.junit.jupiter.api.Test;

class LeaveAloneTest {

  private static List<Integer> suggest(String... names) {
    return LeaveAlone.suggest(List.of(names).stream().map(name -> new Stem(name, 1, 100)).toList());
  }

  @Test
  void voicesAreKnownByTheirNamesInSeveralLanguages() {
    assertEquals(
        List.of(0, 1, 2, 3, 4, 5, 6, 7, 8),
        suggest(
            "lead voice",
            "12_VOX dbl",
            "MainVocal2",
            "BGVs L",
            "choir hall",
            "Chœur",
            "głos 2",
            "03-Gesang",
            "coro alto"));
  }

  @Test
  void onlyWholeWordsCount() {
    assertEquals(
        List.of(),
        suggest("leader drum", "invoice", "vocoded bass", "single", "rapid caixa", "surdo"));
  }

  @Test
  void accentsWrittenApartAreTheSame() {
    // "sång" with a combining ring: what some file systems make of it.
    assertEquals(List.of(0), suggest("sa\u030ang"));
  }
}
