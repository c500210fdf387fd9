package cairn.tui.command;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.wave.WaveFile;
import cairn.io.wave.WaveLayout;
import cairn.tui.command.TestConsole.Outcome;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class SnippetsCommandTest {

  private static final int RATE = 8_000;

  @TempDir Path folder;

  /** A quiet tone with one peak at its first sample and one at its last. */
  private Path stems() throws IOException {
    Path stems = Files.createDirectories(folder.resolve("stems"));
    double[][] x = new double[1][3 * RATE];
    for (int n = 0; n < x[0].length; n++) {
      x[0][n] = 0.001 * Math.sin(2 * Math.PI * n / 80);
    }
    x[0][0] = 0.9;
    x[0][3 * RATE - 1] = 0.8;
    try (OutputStream out = Files.newOutputStream(stems.resolve("caixa.wav"));
        LinearSoundWriter writer =
            WaveLayout.plain(LinearCoding.PCM_24_LITTLE, RATE, 1, 3 * RATE).writeTo(out)) {
      writer.write(x, 0, 3 * RATE);
    }
    return stems;
  }

  private Outcome snippets(String... more) throws IOException {
    List<String> args = new ArrayList<>(List.of("snippets", stems().toString(), "--plan"));
    args.addAll(List.of(more));
    return TestConsole.run(args.toArray(String[]::new));
  }

  @Test
  void momentsAtBothEndsAreCutToTheSongAndNothingIsTurnedUp() throws IOException {
    Path listen = folder.resolve("listen");
    Outcome outcome = snippets("--line", "-2", "--max-trim", "24", "--to", listen.toString());
    assertEquals(0, outcome.status(), outcome.err());
    List<String> rows = Files.readAllLines(listen.resolve("index.csv"));
    assertEquals(3, rows.size(), rows.toString());
    String[] first = rows.get(1).split(",", -1);
    String[] last = rows.get(2).split(",", -1);
    assertEquals("0", first[8]);
    assertEquals("12001", first[9]);
    assertEquals(String.valueOf(3 * RATE - 1 - 12_000), last[8]);
    assertEquals(String.valueOf(3 * RATE), last[9]);
    assertTrue(Double.parseDouble(first[12]) <= 0, rows.get(1));
    for (String name : List.of(first[6], first[7], last[6], last[7])) {
      try (var sound = WaveFile.open(listen.resolve(name))) {
        assertEquals(2, sound.format().channels());
        assertEquals("PCM 24", sound.format().coding());
      }
    }
  }

  @ParameterizedTest
  @CsvSource({
    "2, '--to listen --level -14', --level must be -70 to -20 LUFS",
    "2, '--to listen --around 0', --around must be 0.05 to 30",
    "1, '--to stems/listen', lies in the stems' folder",
    "1, '--to full', is not empty",
    "1, '--to listen --line 3', the plan has no fix",
    "1, '--to no/listen --line -2', its folder does not exist",
  })
  void whatCannotBeIsSaidInOneLineAndLeavesNothing(int status, String options, String words)
      throws IOException {
    Files.createDirectories(folder.resolve("full/sub"));
    List<String> args = new ArrayList<>();
    for (String word : options.split(" ", -1)) {
      args.add(
          word.matches("(stems|full|no|listen)(/.*)?") ? folder.resolve(word).toString() : word);
    }
    Outcome outcome = snippets(args.toArray(String[]::new));
    assertEquals(status, outcome.status(), outcome.err());
    assertTrue(outcome.errLine().contains(words), outcome.err());
    assertFalse(Files.exists(folder.resolve("listen")));
    assertFalse(Files.exists(folder.resolve("stems/listen")));
  }
}
