package cairn.tui.command;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.wave.WaveLayout;
import cairn.tui.command.TestConsole.Outcome;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.io.Writer;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.OptionalInt;
import java.util.function.Supplier;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Exit statuses, and what goes to which stream. */
class CommandLineProgramTest {

  private static final int RATE = 8_000;

  @TempDir Path stems;

  @BeforeEach
  void twoStemsThatMeetOnce() throws IOException {
    stem("kick.wav", 0.35);
    stem("caixa.wav", 0.34);
  }

  private void stem(String name, double hit) throws IOException {
    double[] samples = new double[2 * RATE];
    for (int n = 0; n < samples.length; n += 400) {
      samples[n] = 0.1;
    }
    samples[RATE] = hit;
    try (OutputStream out = Files.newOutputStream(stems.resolve(name));
        LinearSoundWriter writer =
            WaveLayout.plain(LinearCoding.FLOAT_32_LITTLE, RATE, 1, samples.length).writeTo(out)) {
      writer.write(new double[][] {samples}, 0, samples.length);
    }
  }

  /** Standard output that fails at the first character. */
  private static final class FailingWriter extends Writer {
    private final Supplier<Exception> failure;

    FailingWriter(Supplier<Exception> failure) {
      this.failure = failure;
    }

    @Override
    public void write(char[] text, int at, int count) throws IOException {
      Exception e = failure.get();
      if (e instanceof IOException io) {
        throw io;
      }
      throw (RuntimeException) e;
    }

    @Override
    public void flush() {}

    @Override
    public void close() {}
  }

  private Outcome listInto(Supplier<Exception> failure) {
    StringWriter err = new StringWriter();
    Console console =
        new Console(
            new FailingWriter(failure), new PrintWriter(err, true), OptionalInt.empty(), false);
    int status = CommandLineProgram.run(console, "list", stems.toString());
    return new Outcome(status, "", err.toString());
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "--help",
        "--version",
        "list --help",
        "list --version",
        "plan --help",
        "demo --help",
        "completion --help",
        "completion"
      })
  void whatWasAskedForIsDataAndStatusZero(String words) {
    Outcome outcome = TestConsole.run(words.split(" ", -1));
    assertEquals(0, outcome.status(), outcome.err());
    assertEquals("", outcome.err());
    assertTrue(!outcome.out().isBlank());
  }

  @Test
  void helpOfEveryCommandNamesItsCommandAndAnExample() {
    for (String command : new String[] {"list", "plan"}) {
      String help = TestConsole.run(command, "--help").out();
      assertTrue(help.startsWith("Usage: cairn " + command), help);
      assertTrue(help.contains("cairn " + command + " parade "), help);
    }
  }

  /** With {@code --} before them the same words are taken apart as a command line. */
  @Test
  void stemsAloneAreListedAsTheyAreByTheWholeCommandLine() {
    Path kick = stems.resolve("kick.wav");
    for (String typed : new String[] {stems.toString(), kick.toString(), stems + "/no such stem"}) {
      assertEquals(
          TestConsole.run("list", "--", typed), TestConsole.run("list", typed), "list " + typed);
      assertEquals(
          TestConsole.run("walk", "--", typed), TestConsole.run("walk", typed), "walk " + typed);
    }
    assertTrue(TestConsole.run("list", stems.toString()).out().contains("1 moment"));
    Outcome empty = TestConsole.run("list", stems.toString(), "");
    assertEquals(2, empty.status(), empty.err());
  }

  @Test
  void jsonAndCsvAreDataAloneAndNeverCut() throws IOException {
    Outcome json = TestConsole.run(OptionalInt.of(20), "list", stems.toString(), "--json");
    assertEquals(0, json.status(), json.err());
    assertEquals("", json.err());
    assertEquals(
        "cairn-list/1", new ObjectMapper().readTree(json.out()).get("schema").asText(), json.out());
    Outcome csv = TestConsole.run(OptionalInt.of(20), "list", stems.toString(), "--csv");
    assertEquals("", csv.err());
    // The one moment, at 1 s: 0.35 + 0.34 = 0.69, 20 log10 0.69 = -3.2230 dBFS. Windows of half a
    // second: (3 * 0.2 + 0.69) / 4 = 0.3225, the line 1 dB above at 0.3619, over each stem alone.
    String[] rows = csv.out().split("\r?\n", -1);
    assertEquals(3, rows.length, csv.out());
    assertTrue(rows[1].startsWith("1,collision,8000,1.0"), rows[1]);
    assertTrue(rows[1].contains(",-3.2230,"), rows[1]);
    assertEquals(TestConsole.run("list", stems.toString(), "--csv").out(), csv.out());
  }

  @Test
  void aTableIsTheSameButForItsWidth() {
    String wide = TestConsole.run("list", stems.toString()).out();
    assertEquals(wide, TestConsole.run(OptionalInt.of(500), "list", stems.toString()).out());
    String cut = TestConsole.run(OptionalInt.of(30), "list", stems.toString()).out();
    assertEquals(wide.lines().count(), cut.lines().count());
    assertTrue(cut.lines().allMatch(line -> line.length() <= 30), cut);
  }

  @Test
  void aReaderThatHasSeenEnoughIsNoFault() {
    Outcome outcome = listInto(() -> new IOException("Broken pipe"));
    // 128 + SIGPIPE, 13: POSIX.1-2017 signal numbers as shells report them; common practice.
    assertEquals(141, outcome.status());
    assertEquals("", outcome.err());
  }

  @Test
  void aFullDiskIsSaidInOneLine() {
    Outcome outcome = listInto(() -> new IOException("No space left on device"));
    assertEquals(1, outcome.status());
    assertEquals(
        "stopped: no room left where the output goes; free some space or name another place",
        outcome.errLine());
  }

  @Test
  void aFaultOfOursIsOneHarmlessLineWithItsPlace() {
    Outcome outcome = listInto(() -> new IllegalStateException("one\ntwo\u001B[31m"));
    assertEquals(1, outcome.status());
    assertTrue(outcome.errLine().startsWith("stopped: a fault in cairn: "), outcome.err());
    assertTrue(outcome.err().contains("one\\u{A}two\\u{1B}[31m at "), outcome.err());
  }

  @Test
  void filesThatTheSystemRefusesAreNamedWithTheReason() {
    assertEquals(
        "stopped: 'no\\u{A}where' is not there; check the path",
        listInto(() -> new NoSuchFileException("no\nwhere")).errLine());
    assertEquals(
        "stopped: 'kick.wav' may not be read or written (no permission); allow it, or name another",
        listInto(() -> new AccessDeniedException("kick.wav")).errLine());
    assertEquals(
        "stopped: 'kick.wav' cannot be read or written: Input/output error; name another, or check"
            + " the disk",
        listInto(() -> new FileSystemException("kick.wav", null, "Input/output error")).errLine());
  }

  @Test
  void anEmptyNameIsNotTheCurrentFolder() {
    Outcome outcome = TestConsole.run("list", "");
    assertEquals(2, outcome.status());
    assertEquals("", outcome.out());
    assertTrue(outcome.errLine().startsWith("STEMS must have a name, not ''"), outcome.err());
  }

  @Test
  void progressNeverReachesStandardOutputAndIsWipedFromATerminal() {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    Console console = new Console(out, new PrintWriter(err, true), OptionalInt.empty(), true);
    assertEquals(0, CommandLineProgram.run(console, "list", stems.toString()));
    assertEquals(TestConsole.run("list", stems.toString()).out(), out.toString());
    assertTrue(err.toString().isEmpty() || err.toString().endsWith("\r\u001B[K"), err.toString());
  }

  @Test
  void aDemoIsWrittenAndNeverOverOtherFiles() throws IOException {
    byte[] before = Files.readAllBytes(stems.resolve("kick.wav"));
    Outcome outcome = TestConsole.run("demo", stems.toString(), "--force");
    assertEquals(1, outcome.status());
    assertEquals("", outcome.out());
    assertTrue(outcome.errLine().contains("which is not of a demo"), outcome.err());
    assertArrayEquals(before, Files.readAllBytes(stems.resolve("kick.wav")));
    Outcome onAFile = TestConsole.run("demo", stems.resolve("kick.wav").toString());
    assertEquals(1, onAFile.status());
    assertTrue(onAFile.errLine().contains("is no folder; name a new"), onAFile.err());
  }
}
