package cairn.tui.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Analysis;
import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.fix.Trim;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.EarlierMoment;
import cairn.collisions.plan.EarlierPass;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.PlanOptions;
import cairn.collisions.plan.Planner;
import cairn.collisions.plan.WhatIf;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import cairn.io.stems.ScanOptions;
import cairn.io.stems.StemFile;
import cairn.io.stems.StemFiles;
import cairn.io.stems.StemFolder;
import cairn.io.stems.StemSet;
import cairn.tui.command.TestConsole;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Stems that were fixed and written again, listed against those before: the independent reference
 * must find the same shift and the same fate of every moment.
 */
class SinceAgainstOthersTest {

  private static final Path PYTHON = Path.of("src", "test", "python").toAbsolutePath();

  /** Half of the fourth decimal that is printed, and samples that are rounded to 24 bits. */
  private static final double PRINTED_DB = 0.5e-4 + 1e-5;

  @ParameterizedTest(name = "{0}, seed {1}, {2} frames later")
  @CsvSource({"percussion, 42, 0", "percussion, 42, -1234"})
  void everyMomentHasTheFateThatWasTold(String kind, int seed, int shift, @TempDir Path temp)
      throws Exception {
    Path stems = temp.resolve("stems");
    OutsideTool.Outcome made =
        OutsideTool.run(
            PYTHON,
            List.of(
                OutsideTool.python(),
                PYTHON.resolve("make_stems.py").toString(),
                "--seed",
                String.valueOf(seed),
                "--kind",
                kind,
                "--to",
                stems.toString()));
    assertEquals(0, made.status(), made.text());
    Path fixed = temp.resolve("fixed");
    EarlierPass told = writeFixed(stems, fixed, shift);
    JsonNode list = check(stems, fixed, temp);
    assertEquals(shift, list.at("/since/shiftFrames").asLong());
    // What the what-if told is what the reference, too, finds was got.
    int lowered = 0;
    for (int i = 0; i < told.moments().size(); i++) {
      EarlierMoment moment = told.moments().get(i);
      JsonNode since = list.at("/since/moments/" + i);
      assertEquals(moment.peakFrame(), since.get("frame").asLong());
      double toldDb = 20 * Math.log10(moment.peak() / moment.told().orElseThrow());
      assertEquals(toldDb, since.get("gotDb").asDouble(), PRINTED_DB, since.toString());
      lowered += toldDb > 0.05 ? 1 : 0;
    }
    assertTrue(lowered >= 5, "lowered: " + lowered);
    Set<String> states = new HashSet<>();
    list.at("/since/moments").forEach(m -> states.add(m.get("state").asText()));
    assertEquals(Set.of("gone", "lower", "still", "new"), states);
  }

  private static JsonNode check(Path old, Path fixed, Path temp) throws Exception {
    TestConsole.Outcome listed =
        TestConsole.run("list", fixed.toString(), "--since", old.toString(), "--json");
    assertEquals(0, listed.status(), listed.err());
    Path json = Files.writeString(temp.resolve("list.json"), listed.out());
    OutsideTool.program("ffmpeg");
    OutsideTool.Outcome outcome =
        OutsideTool.run(
            PYTHON,
            List.of(
                OutsideTool.python(),
                PYTHON.resolve("check_since.py").toString(),
                "--json",
                json.toString(),
                "--old",
                old.toString(),
                "--new",
                fixed.toString()));
    assertEquals(0, outcome.status(), outcome.text());
    assertTrue(outcome.text().contains("same: "), outcome.text());
    return new ObjectMapper().readTree(listed.out());
  }

  /**
   * Writes the stems with every other mark of a plan and half a decibel off a stem of each third
   * moment, all shifted, and with two loud samples more in the first stem. What stays as it was is
   * copied.
   */
  private static EarlierPass writeFixed(Path old, Path fixed, int shift) throws Exception {
    StemSet set = StemFolder.scan(List.of(old), ScanOptions.DEFAULT);
    Session session = set.toSession();
    try (StemFiles files = set.open()) {
      Pass pass = new Analysis(session, files, Crew.ALONE, Progress.NONE).run(Settings.DEFAULT);
      Plan plan =
          new Planner(pass, files, Crew.ALONE, Progress.NONE).plan(Marks.NONE, PlanOptions.DEFAULT);
      List<Mark> marks = new ArrayList<>();
      for (int i = 0; i < plan.marks().size(); i += 2) {
        marks.add(plan.marks().get(i));
      }
      for (int i = 0; i < pass.moments().size(); i += 3) {
        Moment moment = pass.moments().get(i);
        marks.add(
            Mark.of(
                moment.peakFrame(),
                new Trim(
                    moment.contributions().get(0).stem(),
                    Math.max(0, moment.firstOver() - 500),
                    moment.lastOver() + 500,
                    5)));
      }
      try (WhatIf plain = WhatIf.of(pass, files)) {
        WhatIf whatIf = plain.withAll(marks);
        Set<Integer> touched = new HashSet<>(Set.of(0));
        marks.forEach(mark -> touched.add(((Mark.OfFix) mark).fix().stem()));
        Files.createDirectory(fixed);
        for (int k = 0; k < session.stems().size(); k++) {
          StemFile stem = set.stems().get(k);
          if (shift == 0 && !touched.contains(k)) {
            for (Path path : stem.paths()) {
              Files.copy(path, fixed.resolve(path.getFileName()));
            }
          } else {
            write(whatIf, k, stem, shift, fixed.resolve(stem.name() + ".wav"));
          }
        }
        return EarlierPass.of(pass, whatIf);
      }
    }
  }

  private static void write(WhatIf whatIf, int k, StemFile stem, int shift, Path path)
      throws IOException {
    int frames = Math.toIntExact(stem.frames());
    double[][] y = new double[2][frames];
    whatIf.stemOnBus(k, 0, frames, y);
    if (k == 0) {
      y[0][frames / 3] += 0.9;
      y[0][frames / 2] -= 0.9;
    }
    int channels = stem.channels();
    ByteBuffer bytes =
        ByteBuffer.allocate((frames + shift) * channels * 4).order(ByteOrder.LITTLE_ENDIAN);
    for (int n = -shift; n < frames; n++) {
      for (int c = 0; c < channels; c++) {
        bytes.putFloat(n < 0 ? 0 : (float) y[c][n]);
      }
    }
    ByteBuffer head = ByteBuffer.allocate(44).order(ByteOrder.LITTLE_ENDIAN);
    head.put("RIFF".getBytes(StandardCharsets.US_ASCII)).putInt(36 + bytes.position());
    head.put("WAVEfmt ".getBytes(StandardCharsets.US_ASCII)).putInt(16);
    // 32-bit IEEE float: tag 3.
    head.putShort((short) 3).putShort((short) channels).putInt(stem.format().sampleRateHz());
    head.putInt(stem.format().sampleRateHz() * channels * 4);
    head.putShort((short) (channels * 4)).putShort((short) 32);
    head.put("data".getBytes(StandardCharsets.US_ASCII)).putInt(bytes.position());
    try (OutputStream out = Files.newOutputStream(path)) {
      out.write(head.array());
      out.write(bytes.array());
    }
  }
}
