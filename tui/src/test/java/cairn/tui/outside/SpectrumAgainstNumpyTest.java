package cairn.tui.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.tui.command.TestConsole;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Band levels, and where a mix lies, worked out by numpy from the definitions alone. */
class SpectrumAgainstNumpyTest {

  private static final Path PYTHON = Path.of("src", "test", "python").toAbsolutePath();

  @TempDir Path temp;

  private static String run(String script, String... args)
      throws IOException, InterruptedException {
    List<String> command =
        new ArrayList<>(List.of(OutsideTool.python(), PYTHON.resolve(script).toString()));
    command.addAll(List.of(args));
    OutsideTool.Outcome outcome = OutsideTool.run(PYTHON, command);
    assertEquals(0, outcome.status(), outcome.text());
    return outcome.text();
  }

  private String stems(int seed) throws IOException, InterruptedException {
    String folder = temp.resolve("stems " + seed).toString();
    run("make_stems.py", "--seed", "" + seed, "--kind", "percussion", "--to", folder);
    return folder;
  }

  @Test
  void bandsAreThoseOfNumpy() throws IOException, InterruptedException {
    String stems = stems(41);
    String mix = temp.resolve("mix.wav").toString();
    run("check_spectrum.py", "--make-print", mix, "--lag", "777", "--stems", stems(42));
    TestConsole.Outcome compare = TestConsole.run("compare", stems, "--reference", mix, "--json");
    assertEquals(0, compare.status(), compare.err());
    Path json = Files.writeString(temp.resolve("compare.json"), compare.out());
    String said =
        run("check_spectrum.py", "--compare", json.toString(), "--stems", stems, "--other", mix);
    assertTrue(said.matches("(?s).*same: [1-9]\\d bands.*"), said);
  }

  @ParameterizedTest
  @ValueSource(ints = {0, 12_345, -2_000})
  void aMixIsFoundWhereNumpyFindsIt(int lag) throws IOException, InterruptedException {
    String stems = stems(43);
    String mix = temp.resolve("mix.wav").toString();
    run("check_spectrum.py", "--make-print", mix, "--lag", "" + lag, "--stems", stems);
    TestConsole.Outcome check = TestConsole.run("check", stems, "--print", mix, "--json");
    assertEquals(0, check.status(), check.err());
    JsonNode print = new ObjectMapper().readTree(check.out()).get("print");
    assertEquals(lag, print.get("lagFrames").asInt());
    assertEquals(-2, print.get("gainDb").asDouble(), 0.02);
    assertTrue(print.get("reversed").asBoolean());
    Path json = Files.writeString(temp.resolve("check.json"), check.out());
    String said =
        run("check_spectrum.py", "--check", json.toString(), "--stems", stems, "--other", mix);
    assertTrue(said.contains("same: 1 offset, " + lag + " samples"), said);
  }
}
