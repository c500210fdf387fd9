package cairn.io.cue;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeFalse;

import cairn.collisions.Session;
import cairn.collisions.Stem;
import cairn.collisions.cue.Cue;
import cairn.collisions.cue.CueList;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.time.TempoMap;
import cairn.collisions.time.TimeNotation;
import cairn.io.OutsideTool;
import cairn.io.files.WholeFile;
import cairn.io.wave.CueChunks;
import cairn.io.wave.WaveFile;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.StringReader;
import java.io.StringWriter;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import javax.sound.midi.MetaMessage;
import javax.sound.midi.MidiSystem;
import javax.sound.midi.Sequence;
import javax.sound.midi.Track;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioInputStream;
import javax.sound.sampled.AudioSystem;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** What is written is read back by readers of others. */
class CueFilesTest {

  private static final int RATE = 48_000;
  private static final long FRAMES = 10L * RATE;

  @TempDir Path folder;

  private static final Session SESSION =
      Session.atUnity(
          RATE, List.of(new Stem("03 surdo", 2, FRAMES), new Stem("=caixa, \"zé\" 鼓", 1, FRAMES)));

  private static Cue cue(long frame, Fix fix, String words, Optional<String> note, boolean done) {
    String name = SESSION.stems().get(fix.stem()).name();
    return new Cue(
        OptionalInt.of(2),
        frame,
        Math.max(0, fix.startFrame()),
        Math.min(FRAMES, fix.endFrame()),
        TimeNotation.CLOCK.at(frame, RATE),
        fix.stem(),
        Optional.of(fix),
        name + ": " + words,
        words,
        OptionalDouble.of(3.25),
        4,
        done,
        note);
  }

  /** The first frame, one in the middle, and the last. */
  private static CueSheet three() {
    return sheet(
        List.of(
            cue(0, new Nudge(0, -30, 240, 29), "0.6 ms later (29 samples)", Optional.empty(), true),
            cue(
                12_345,
                new Trim(1, 12_000, 13_000, 12),
                "trim 1.2 dB",
                Optional.of("-soft,\nnot \"dull\"\u2028\u202E"),
                false),
            cue(
                FRAMES - 1,
                new Clip(1, FRAMES - 3, FRAMES, -106),
                "clip at -10.6 dBFS",
                Optional.empty(),
                false)));
  }

  private static CueSheet sheet(List<Cue> cues) {
    return new CueSheet("parade", new CueList(SESSION, TimeNotation.CLOCK, cues), Optional.empty());
  }

  private static CueFile.How how(CueFormat format) {
    return new CueFile.How(format, false, Optional.empty());
  }

  private Path write(CueSheet sheet, CueFormat format) throws IOException {
    Path file = folder.resolve("cues." + format.ending());
    CueFile.write(sheet, how(format), file, false, List.of());
    return file;
  }

  @Test
  void aStrictReaderFindsEveryCsvField() throws IOException {
    // Commons CSV in its RFC 4180 form.
    String text = Files.readString(write(three(), CueFormat.CSV));
    List<CSVRecord> rows;
    try (CSVParser parser =
        CSVParser.parse(
            new StringReader(text),
            CSVFormat.RFC4180.builder().setHeader().setSkipHeaderRecord(true).get())) {
      rows = parser.getRecords();
    }
    assertEquals(3, rows.size());
    assertTrue(rows.stream().allMatch(CSVRecord::isConsistent));
    assertEquals("0", rows.get(0).get("moment"));
    assertEquals("29", rows.get(0).get("amount"));
    assertEquals("samples later", rows.get(0).get("unit"));
    assertEquals("true", rows.get(0).get("done"));
    assertEquals("12345", rows.get(1).get("moment"));
    assertEquals("0.257188", rows.get(1).get("seconds"));
    assertEquals("12000", rows.get(1).get("from"));
    assertEquals("13000", rows.get(1).get("to"));
    assertEquals("3.2500", rows.get(1).get("excessDb"));
    assertEquals("'=caixa, \"zé\" 鼓", rows.get(1).get("stem"));
    assertEquals("'=caixa, \"zé\" 鼓: trim 1.2 dB", rows.get(1).get("text"));
    assertEquals("'-soft,\nnot \"dull\"\u2028\u202E", rows.get(1).get("note"));
    assertEquals("-10.6", rows.get(2).get("amount"));
    assertEquals("dBFS on the bus", rows.get(2).get("unit"));
  }

  @Test
  void pythonReadsTheSameCsvAndJson() throws Exception {
    OutsideTool python = OutsideTool.named("python3", "python3");
    Path csv = write(three(), CueFormat.CSV);
    Path json = write(three(), CueFormat.JSON);
    String script =
        """
        import csv, json, sys
        rows = list(csv.DictReader(open(sys.argv[1], newline='', encoding='utf-8'), strict=True))
        cues = json.load(open(sys.argv[2], encoding='utf-8'))['cues']
        assert len(rows) == len(cues) == 3
        for row, cue in zip(rows, cues):
            assert int(row['moment']) == cue['moment'], row
            assert row['stem'].lstrip("'") == cue['stem'], row
            assert row['text'].lstrip("'") == cue['text'], row
            assert (row['note'].lstrip("'") or None) == cue['note'], row
            assert row['fix'] == cue['kind'], row
            assert float(row['excessDb']) == cue['excessDb'], row
        print(' '.join(str(cue['moment']) for cue in cues))
        """;
    assertEquals(
        "0 12345 479999",
        new String(python.run("-c", script, csv, json), StandardCharsets.UTF_8).strip());
  }

  @Test
  void jsonHoldsAllFieldsAndNothingThatATerminalActsOn() throws IOException {
    String text = Files.readString(write(three(), CueFormat.JSON));
    assertTrue(text.codePoints().noneMatch(c -> c == 0x2028 || c == 0x202E), text);
    JsonNode tree = new ObjectMapper().readTree(text);
    assertEquals("cairn-cues/1", tree.get("schema").textValue());
    JsonNode cue = tree.get("cues").get(0);
    assertEquals(29, cue.get("frames").intValue());
    assertEquals("0:00.000", cue.get("time").textValue());
    assertEquals(2, cue.get("rank").intValue());
    assertEquals(4, cue.get("alike").intValue());
    assertTrue(cue.get("note").isNull());
    assertEquals(1.2, tree.get("cues").get(1).get("db").doubleValue());
    assertEquals(
        "-soft,\nnot \"dull\"\u2028\u202E", tree.get("cues").get(1).get("note").textValue());
    assertEquals(-10.6, tree.get("cues").get(2).get("ceilingDb").doubleValue());
  }

  @Test
  void everyExampleOfJsonTextComesOutAsInTheTable() throws IOException {
    // RFC 8259, section 7, and our own choice to escape what a terminal acts on.
    int checked = 0;
    for (JsonNode row : vectors("text-safety-vectors.json").get("json")) {
      StringWriter out = new StringWriter();
      Cue plain = three().list().cues().get(0);
      Cue noted =
          new Cue(
              plain.rank(),
              0,
              0,
              1,
              "",
              0,
              Optional.empty(),
              "",
              "",
              OptionalDouble.empty(),
              1,
              false,
              Optional.of(row.get("value").textValue()));
      CueJson.write(sheet(List.of(noted)), out);
      String expected = "\"note\" : " + row.get("json").textValue() + ",";
      assertTrue(
          out.toString().toLowerCase(Locale.ROOT).contains(expected.toLowerCase(Locale.ROOT)),
          expected + " in " + out);
      checked++;
    }
    assertEquals(11, checked);
  }

  private static JsonNode vectors(String name) throws IOException {
    try (InputStream in = CueFilesTest.class.getResourceAsStream("/standards/" + name)) {
      return new ObjectMapper().readTree(in);
    }
  }

  @Test
  void thePaperHasABoxForEachAndTheStretchToCut() throws IOException {
    List<String> lines = Files.readAllLines(write(three(), CueFormat.TEXT));
    assertEquals("Cues for parade", lines.get(0));
    assertTrue(lines.get(4).startsWith("[x]  0:00.000       0  03 surdo"), lines.get(4));
    assertTrue(lines.get(5).contains("trim 1.2 dB"), lines.get(5));
    assertTrue(lines.get(5).contains("0:00.250  0:00.271"), lines.get(5));
    assertEquals("       -soft,\\u{A}not \"dull\"\\u{2028}\\u{202E}", lines.get(6));
    assertEquals(8, lines.size());
  }

  @Test
  void theWorkedExampleOfCueChunksComesOutByteForByte() throws IOException {
    // The entry wav-cue-adtl of container-vectors.json, from the chunk 'cue ' on.
    String hex = "";
    for (JsonNode vector : vectors("container-vectors.json").get("vectors")) {
      if (vector.get("id").textValue().equals("wav-cue-adtl")) {
        hex = vector.get("hex").textValue();
      }
    }
    byte[] file = HexFormat.ofDelimiter(" ").parseHex(hex);
    byte[] chunks =
        CueChunks.of(
            List.of(
                new CueChunks.Point(0, "Start", Optional.empty(), 0),
                new CueChunks.Point(3, "Peak", Optional.of("3 stems"), 2)));
    assertArrayEquals(java.util.Arrays.copyOfRange(file, 0x38, file.length), chunks);
  }

  /** An independent reader of chunks, from the format's text alone. */
  private static final String CHUNKS =
      """
      import struct, sys
      data = open(sys.argv[1], 'rb').read()
      assert data[:4] == b'RIFF' and data[8:12] == b'WAVE'
      assert struct.unpack('<I', data[4:8])[0] == len(data) - 8, 'RIFF size'
      at, points, labels, notes, regions = 12, {}, {}, {}, {}
      while at < len(data):
          name, size = data[at:at+4], struct.unpack('<I', data[at+4:at+8])[0]
          body = data[at+8:at+8+size]
          assert len(body) == size
          if name == b'cue ':
              count = struct.unpack('<I', body[:4])[0]
              assert size == 4 + 24 * count
              for i in range(count):
                  key, pos, chunk, start, block, offset = struct.unpack(
                      '<II4sIII', body[4+24*i:28+24*i])
                  assert chunk == b'data' and pos == offset and start == block == 0
                  assert key not in points
                  points[key] = offset
          if name == b'LIST' and body[:4] == b'adtl':
              i = 4
              while i < size:
                  sub, n = body[i:i+4], struct.unpack('<I', body[i+4:i+8])[0]
                  key = struct.unpack('<I', body[i+8:i+12])[0]
                  if sub == b'ltxt':
                      regions[key] = struct.unpack('<I', body[i+12:i+16])[0]
                      assert body[i+16:i+20] == b'rgn '
                  else:
                      text = body[i+12:i+8+n]
                      assert text[-1:] == b'\\0'
                      (labels if sub == b'labl' else notes)[key] = text[:-1].decode('utf-8')
                  i += 8 + n + n % 2
          at += 8 + size + size % 2
      assert at == len(data)
      for key in sorted(points):
          print(points[key], regions.get(key, '-'), labels[key], sep='|')
      """;

  @Test
  void aWaveFileHasAPointOnEachMomentAndARegionForEachCut() throws Exception {
    OutsideTool python = OutsideTool.named("python3", "python3");
    Path file = write(three(), CueFormat.WAVE);
    assertEquals(
        List.of(
            "0|-|03 surdo: 0.6 ms later (29 samples)",
            "0|240|03 surdo: 0.6 ms later (29 samples)",
            "12345|-|=caixa, \"zé\" 鼓: trim 1.2 dB",
            "12000|1000|=caixa, \"zé\" 鼓: trim 1.2 dB",
            "479999|-|=caixa, \"zé\" 鼓: clip at -10.6 dBFS",
            "479997|3|=caixa, \"zé\" 鼓: clip at -10.6 dBFS"),
        new String(python.run("-c", CHUNKS, file), StandardCharsets.UTF_8).lines().toList());
    assertEquals(6, CueWave.points(three()));
  }

  @Test
  void otherReadersFindSilenceAsLongAsTheSession() throws Exception {
    Path file = write(three(), CueFormat.WAVE);
    try (AudioInputStream in = AudioSystem.getAudioInputStream(file.toFile())) {
      assertEquals(FRAMES, in.getFrameLength());
      assertEquals(1, in.getFormat().getChannels());
      assertEquals(16, in.getFormat().getSampleSizeInBits());
      assertEquals(AudioFormat.Encoding.PCM_SIGNED, in.getFormat().getEncoding());
      assertArrayEquals(new byte[(int) FRAMES * 2], in.readAllBytes());
    }
    assertEquals(
        FRAMES + " 1 2",
        outside(
            "python3",
            "python3",
            "-c",
            "import wave, sys; w = wave.open(sys.argv[1]);"
                + "print(w.getnframes(), w.getnchannels(), w.getsampwidth())",
            file));
    assertEquals(String.valueOf(FRAMES), outside("soxi", "sox", "-s", file));
    assertEquals(
        "10.000000",
        outside(
            "ffprobe",
            "ffmpeg",
            "-v",
            "error",
            "-show_entries",
            "format=duration",
            "-of",
            "csv=p=0",
            file));
  }

  @Test
  void everyCuePointIsAChapterWithItsNameToFfprobe() throws Exception {
    Path file = write(three(), CueFormat.WAVE);
    List<String> chapters =
        outside(
                "ffprobe",
                "ffmpeg",
                "-v",
                "error",
                "-show_entries",
                "chapter=start:chapter_tags=title",
                "-of",
                "compact=p=0:nk=1:e=none",
                file)
            .lines()
            .toList();
    assertEquals(
        List.of(
            "0|03 surdo: 0.6 ms later (29 samples)",
            "0|03 surdo: 0.6 ms later (29 samples)",
            "12345|=caixa, \"zé\" 鼓: trim 1.2 dB",
            "12000|=caixa, \"zé\" 鼓: trim 1.2 dB",
            "479999|=caixa, \"zé\" 鼓: clip at -10.6 dBFS",
            "479997|=caixa, \"zé\" 鼓: clip at -10.6 dBFS"),
        chapters);
  }

  private static String outside(String tool, String install, Object... arguments) throws Exception {
    return new String(OutsideTool.named(tool, install).run(arguments), StandardCharsets.UTF_8)
        .strip();
  }

  @Test
  void aCopyOfTheBusIsAsItIsAlsoAboveFullScale() throws IOException {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    CueWave.write(
        three(),
        Optional.of(
            (first, frames, into) -> {
              for (int i = 0; i < frames; i++) {
                into[0][i] = (first + i) / 262_144.0;
                into[1][i] = -into[0][i];
              }
            }),
        out);
    Path file = Files.write(folder.resolve("bus.wav"), out.toByteArray());
    try (var sound = WaveFile.open(file)) {
      assertEquals(List.of(), sound.mended());
      assertEquals(FRAMES, sound.format().frames());
      assertEquals("float 32", sound.format().coding());
      double[][] last = new double[2][1];
      sound.openReader().read(FRAMES - 1, 1, last, 0);
      // 479999/262144 is 1.83, over full scale, and a float exactly.
      assertEquals((FRAMES - 1) / 262_144.0, last[0][0], 0);
      assertEquals(-last[0][0], last[1][0], 0);
    }
  }

  @Test
  void markersAreReadByTheJdkOnTheirSamples() throws Exception {
    Sequence sequence = MidiSystem.getSequence(write(three(), CueFormat.MIDI).toFile());
    assertEquals(24_000, sequence.getResolution());
    Track track = sequence.getTracks()[0];
    List<String> found = new ArrayList<>();
    for (int i = 0; i < track.size(); i++) {
      if (track.get(i).getMessage() instanceof MetaMessage meta && meta.getType() == 6) {
        found.add(
            track.get(i).getTick() + " " + new String(meta.getData(), StandardCharsets.UTF_8));
      }
    }
    assertEquals(
        List.of(
            "0 03 surdo: 0.6 ms later (29 samples)",
            "12345 =caixa, \"zé\" 鼓: trim 1.2 dB",
            "479999 =caixa, \"zé\" 鼓: clip at -10.6 dBFS"),
        found);
  }

  @Test
  void aKnownTempoIsFollowedUnlessExactIsAsked() throws IOException {
    CueSheet sheet =
        new CueSheet("parade", three().list(), Optional.of(new TempoMap(104, 4, 4, 0)));
    assertEquals(960, CueFile.grid(sheet, how(CueFormat.MIDI)).ticksPerQuarter());
    assertEquals(
        24_000,
        CueFile.grid(sheet, new CueFile.How(CueFormat.MIDI, true, Optional.empty()))
            .ticksPerQuarter());
  }

  @ParameterizedTest
  @EnumSource
  void fiveThousandCuesInAnyScriptAreWrittenInEveryFormat(CueFormat format) throws Exception {
    List<Cue> cues = new ArrayList<>();
    for (int i = 0; i < 5_000; i++) {
      cues.add(
          cue(
              i * 96L,
              new Trim(1, i * 96L, i * 96L + 90, 1 + i % 240),
              "trim",
              Optional.empty(),
              false));
    }
    Path file = write(sheet(cues), format);
    byte[] bytes = Files.readAllBytes(file);
    String name = "caixa, ";
    int count = 0;
    String text = new String(bytes, StandardCharsets.ISO_8859_1);
    for (int at = text.indexOf(name); at >= 0; at = text.indexOf(name, at + 1)) {
      count++;
    }
    // CSV and JSON name the stem in a field of its own and in the text, a WAVE file in the label of
    // the point and that of the region.
    assertEquals(format == CueFormat.TEXT || format == CueFormat.MIDI ? 5_000 : 10_000, count);
    if (format == CueFormat.WAVE) {
      int cue = text.indexOf("cue ", 44 + (int) FRAMES * 2);
      assertEquals(10_000, ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN).getInt(cue + 8));
    }
  }

  @ParameterizedTest
  @EnumSource
  void anExistingFileIsKeptUnlessForced(CueFormat format) throws IOException {
    Path file = Files.writeString(folder.resolve("cues." + format.ending()), "mine");
    String message =
        assertThrows(
                WholeFile.NotWritten.class,
                () -> CueFile.write(three(), how(format), file, false, List.of()))
            .getMessage();
    assertTrue(message.contains("--force"), message);
    assertEquals("mine", Files.readString(file));
    CueFile.write(three(), how(format), file, true, List.of());
    assertTrue(Files.size(file) > 100);
  }

  @Test
  void aFailureOnTheWayLeavesTheOldFileAndNothingElse() throws IOException {
    Path file = Files.writeString(folder.resolve("cues.wav"), "mine");
    CueFile.How failing =
        new CueFile.How(
            CueFormat.WAVE,
            false,
            Optional.of(
                (first, frames, into) -> {
                  throw new IOException("the disk is gone");
                }));
    assertThrows(IOException.class, () -> CueFile.write(three(), failing, file, true, List.of()));
    assertEquals("mine", Files.readString(file));
    try (var left = Files.list(folder)) {
      assertEquals(List.of(file), left.toList());
    }
  }

  @Test
  void aFolderThatMayNotBeWrittenIsNamed() throws IOException {
    Path closed = Files.createDirectory(folder.resolve("closed"));
    Files.setPosixFilePermissions(closed, PosixFilePermissions.fromString("r-x------"));
    assumeFalse(Files.isWritable(closed), "a superuser may write anywhere");
    String message =
        assertThrows(
                IOException.class,
                () ->
                    CueFile.write(
                        three(), how(CueFormat.CSV), closed.resolve("c.csv"), false, List.of()))
            .getMessage();
    assertTrue(message.contains("no permission"), message);
  }

  @Test
  void aCueTooFarOnForAWaveFileIsRefusedWithAWayOut() {
    long far = CueChunks.LAST_FRAME + 5;
    Session longSession = Session.atUnity(RATE, List.of(new Stem("surdo", 1, far + 10)));
    Cue cue =
        new Cue(
            OptionalInt.empty(),
            far,
            far,
            far + 2,
            "",
            0,
            Optional.empty(),
            "surdo: lone peak",
            "lone peak",
            OptionalDouble.empty(),
            1,
            false,
            Optional.empty());
    CueSheet sheet =
        new CueSheet(
            "long", new CueList(longSession, TimeNotation.CLOCK, List.of(cue)), Optional.empty());
    String message =
        assertThrows(
                IOException.class,
                () -> CueWave.write(sheet, Optional.empty(), new ByteArrayOutputStream()))
            .getMessage();
    assertTrue(message.contains("CSV, JSON or text"), message);
  }

  @Test
  void formatsAreFoundByTheEnding() {
    assertEquals(Optional.of(CueFormat.MIDI), CueFormat.of(Path.of("a/cues.MID")));
    assertEquals(Optional.of(CueFormat.TEXT), CueFormat.of(Path.of("cues.txt")));
    assertEquals(Optional.empty(), CueFormat.of(Path.of("cues")));
    assertEquals(Optional.empty(), CueFormat.of(Path.of("cues.pdf")));
  }
}
