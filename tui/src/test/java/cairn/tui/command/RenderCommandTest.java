package cairn.tui.command;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.port.Progress;
import cairn.io.flac.FlacWriter;
import cairn.tui.command.TestConsole.Outcome;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class RenderCommandTest {

  private static final int RATE = 8_000;

  @TempDir Path folder;

  /** Two FLAC stems, of which one peaks alone at 1 s. */
  private Path stems() throws IOException {
    Path stems = Files.createDirectories(folder.resolve("stems"));
    flac(stems.resolve("caixa.flac"), 0.8);
    flac(stems.resolve("surdo.flac"), 0);
    return stems;
  }

  private static void flac(Path file, double peak) throws IOException {
    double[][] samples = new double[1][3 * RATE];
    for (int n = 0; n < samples[0].length; n++) {
      samples[0][n] = 0.1 * Math.sin(2 * Math.PI * n / 80);
    }
    samples[0][RATE + 20] += peak;
    try (FlacWriter writer = FlacWriter.create(file, RATE, 1, 16)) {
      writer.write(samples, 0, 3 * RATE);
    }
  }

  private Outcome render(String... more) throws IOException {
    List<String> args = new ArrayList<>(List.of("render", stems().toString()));
    args.addAll(List.of(more));
    return TestConsole.run(args.toArray(String[]::new));
  }

  private String to(String name) {
    return folder.resolve(name).toString();
  }

  @Test
  void flacWithFixesIsWrittenAsWaveAndThatIsSaid() throws IOException {
    Outcome outcome = render("--plan", "--to", to("fixed"), "--gain", "surdo=-1");
    assertEquals(0, outcome.status(), outcome.err());
    assertTrue(outcome.err().contains("written as WAVE, since FLAC is only read: caixa"));
    assertTrue(outcome.err().contains("faders are not written into the stems"));
    assertTrue(outcome.out().contains("The second analysis shows what was told"), outcome.out());
    assertTrue(Files.exists(folder.resolve("fixed/caixa.wav")));
    assertEquals(
        -1, Files.mismatch(folder.resolve("stems/surdo.flac"), folder.resolve("fixed/surdo.flac")));
  }

  @Test
  void theSecondAnalysisReadsLevelsAsThePlanDid() throws IOException {
    Outcome outcome = render("--plan", "--true-peak", "--to", to("fixed"));
    assertEquals(0, outcome.status(), outcome.err());
    assertTrue(outcome.out().contains(" dBTP before, "), outcome.out());
    assertTrue(outcome.out().contains("The second analysis shows what was told"), outcome.out());
  }

  @ParameterizedTest
  @CsvSource({
    "'--to stems/fixed --plan', lies in the stems' folder",
    "'--to stems --plan --force', lies in the stems' folder",
    "'--to full --plan', is not empty; name a new folder",
    "'--to no/fixed --plan', its folder does not exist",
    "'--to fixed', no session is saved in",
    "'--to fixed --plan --line 3', the plan has no fix",
  })
  void whatCannotBeIsSaidInOneLineAndLeavesNothing(String options, String words)
      throws IOException {
    Path full = Files.createDirectories(folder.resolve("full"));
    Files.writeString(full.resolve("notes.txt"), "mine");
    List<String> args = new ArrayList<>();
    for (String word : options.split(" ", -1)) {
      args.add(word.matches("(stems|full|no|fixed)(/.*)?") ? to(word) : word);
    }
    Outcome outcome = render(args.toArray(String[]::new));
    assertEquals(1, outcome.status(), outcome.err());
    assertTrue(outcome.errLine().contains(words), outcome.err());
    assertEquals("", outcome.out());
    assertFalse(Files.exists(folder.resolve("fixed")));
    assertEquals("mine", Files.readString(full.resolve("notes.txt")));
  }

  @Test
  void workIsCancelledOnceTheProcessIsToEnd() throws Exception {
    Thread ending;
    try (Interruptible progress = new Interruptible(Progress.NONE)) {
      assertTrue(progress.told(Progress.Step.WRITE, 1, 2));
      ending = new Thread(progress::cancel);
      ending.start();
      while (progress.told(Progress.Step.WRITE, 1, 2)) {
        Thread.onSpinWait();
      }
      assertTrue(ending.isAlive(), "waits for the work to clean up");
    }
    ending.join();
  }
}
