package cairn.tui.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.wave.WaveLayout;
import cairn.tui.command.TestConsole;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A disk of 32 KiB, in memory: only where the tests may mount one. */
class FullDiskTest {

  private static final int RATE_HZ = 8_000;

  @TempDir Path folder;

  private Path disk;
  private Path stems;
  private boolean mounted;

  @BeforeEach
  void mount() throws Exception {
    disk = Files.createDirectory(folder.resolve("disk"));
    try {
      mounted =
          run("mount", "-t", "tmpfs", "-o", "size=32k", "tmpfs", disk.toString()).status() == 0;
    } catch (IOException e) {
      mounted = false;
    }
    assumeTrue(mounted, "needs the right to mount");
    stems = Files.createDirectory(folder.resolve("parade"));
    for (String name : List.of("caixa", "surdo")) {
      double[] x = new double[4 * RATE_HZ];
      for (int n = 0; n < x.length; n++) {
        x[n] = 0.1 * Math.sin(2 * Math.PI * n / 80);
      }
      x[RATE_HZ + 20] += 0.4;
      try (OutputStream out = Files.newOutputStream(stems.resolve(name + ".wav"));
          LinearSoundWriter writer =
              WaveLayout.plain(LinearCoding.PCM_24_LITTLE, RATE_HZ, 1, x.length).writeTo(out)) {
        writer.write(new double[][] {x}, 0, x.length);
      }
    }
  }

  @AfterEach
  void unmount() throws Exception {
    if (mounted) {
      assertEquals(0, run("umount", disk.toString()).status());
    }
  }

  private OutsideTool.Outcome run(String... command) throws IOException, InterruptedException {
    return OutsideTool.run(folder, List.of(command));
  }

  private String stopped(String command, String target, String... more) {
    List<String> args =
        new ArrayList<>(
            List.of(command, stems.toString(), "--plan", "--to", disk.resolve(target).toString()));
    args.addAll(List.of(more));
    TestConsole.Outcome outcome = TestConsole.run(args.toArray(String[]::new));
    assertEquals(1, outcome.status(), outcome.err());
    return outcome.errLine();
  }

  private List<String> left() throws IOException {
    try (Stream<Path> all = Files.list(disk)) {
      return all.map(path -> path.getFileName().toString()).sorted().toList();
    }
  }

  @Test
  void aFullDiskIsNamedAndWhatWasThereStaysAsItWas() throws Exception {
    for (String name : List.of("cues.wav", "report.html")) {
      Files.writeString(disk.resolve(name), "mine");
    }
    for (String line :
        List.of(
            stopped("cues", "cues.wav", "--force"),
            stopped("cues", "new.wav"),
            stopped("report", "report.html", "--force"))) {
      assertTrue(line.contains("could not be written") && line.contains("free some space"), line);
      assertTrue(line.contains(disk.toString()), line);
    }
    for (String line : List.of(stopped("render", "fixed"), stopped("snippets", "listen"))) {
      assertTrue(line.contains("this takes") && line.contains("free some space"), line);
    }
    assertEquals(List.of("cues.wav", "report.html"), left());
    for (String name : left()) {
      assertEquals("mine", Files.readString(disk.resolve(name)));
    }
  }

  @Test
  void aDiskThatMayOnlyBeReadIsNamedBeforeTheWork() throws Exception {
    assertEquals(0, run("mount", "-o", "remount,ro", disk.toString()).status());
    for (String line :
        List.of(
            stopped("cues", "cues.csv"),
            stopped("cues", "cues.wav"),
            stopped("report", "report.html"),
            stopped("render", "fixed"),
            stopped("snippets", "listen"))) {
      assertTrue(line.contains("no permission to write there; name another place"), line);
      assertTrue(line.contains(disk.toString()), line);
    }
  }
}
