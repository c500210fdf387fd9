package cairn.io.midi;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.time.TempoMap;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import javax.sound.midi.InvalidMidiDataException;
import javax.sound.midi.MetaMessage;
import javax.sound.midi.MidiEvent;
import javax.sound.midi.MidiSystem;
import javax.sound.midi.Sequence;
import javax.sound.midi.Track;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Checked against bytes built from the standard by hand, and against the JDK's MIDI reader. */
class MidiFilesTest {

  @TempDir Path folder;

  private static JsonNode vectors() throws IOException {
    try (InputStream in = MidiFilesTest.class.getResourceAsStream("/standards/smf-vectors.json")) {
      return new ObjectMapper().readTree(in);
    }
  }

  private static byte[] bytes(String hex) {
    return HexFormat.of().parseHex(hex.replace(" ", "").toLowerCase(Locale.ROOT));
  }

  private static byte[] write(List<MarkerFile.Marker> markers, MarkerGrid grid) throws IOException {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    MarkerFile.write(markers, grid, out);
    return out.toByteArray();
  }

  private TempoMap read(byte[] file) throws IOException {
    return TempoMapFile.read(Files.write(folder.resolve("map.mid"), file), 0).map();
  }

  @Test
  void numbersOfVariableLengthAreThoseOfTheStandard() throws IOException {
    JsonNode rows = vectors().get("vlq");
    assertEquals(12, rows.size());
    for (JsonNode row : rows) {
      ByteArrayOutputStream out = new ByteArrayOutputStream();
      MarkerFile.putNumber(out, row.get("value").intValue());
      assertArrayEquals(bytes(row.get("hex").textValue()), out.toByteArray(), row.toString());
    }
  }

  @Test
  void oneTickIsOneSampleAtEveryRateOfTheTable() throws IOException {
    JsonNode rows = vectors().get("oneTickPerSample");
    assertEquals(11, rows.size());
    for (JsonNode row : rows) {
      MarkerGrid grid = MarkerGrid.ofSamples(row.get("sampleRate").intValue());
      assertEquals(row.get("ppq").intValue(), grid.ticksPerQuarter(), row.toString());
      assertEquals(
          row.get("tempoUsPerQuarter").intValue(),
          MarkerGrid.tempoMicros(grid.map().tempos().get(0)),
          row.toString());
    }
  }

  @Test
  void theFilesOfTheTableComeOutByteForByte() throws IOException {
    JsonNode files = vectors().get("files");
    assertEquals(4, files.size());
    for (JsonNode file : files) {
      int rate = file.get("sampleRate").intValue();
      boolean musical = file.get("ppq").intValue() == 960;
      MarkerGrid grid =
          musical
              ? MarkerGrid.ofTempo(new TempoMap(120, 4, 4, 0), rate)
              : MarkerGrid.ofSamples(rate);
      List<MarkerFile.Marker> markers = new ArrayList<>();
      for (JsonNode marker : file.get("markers")) {
        long frame = marker.get("sample").longValue();
        markers.add(new MarkerFile.Marker(frame, marker.get("text").textValue()));
        assertEquals(marker.get("tick").longValue(), grid.tick(frame));
        assertEquals(
            marker.get("errorSamples").doubleValue(), grid.errorFrames(frame), 1e-6, "error");
      }
      assertArrayEquals(bytes(file.get("hex").textValue()), write(markers, grid));
    }
    // 500000 / (2 · 960) microseconds, 12.5 samples.
    assertEquals(
        12.5, MarkerGrid.ofTempo(new TempoMap(120, 4, 4, 0), 48_000).worstErrorFrames(), 1e-9);
  }

  @Test
  void meterAndTempoEventsAreThoseOfTheTable() throws IOException {
    String six =
        HexFormat.ofDelimiter(" ")
            .withUpperCase()
            .formatHex(write(List.of(), MarkerGrid.ofTempo(new TempoMap(100, 6, 8, 0), 48_000)));
    assertTrue(six.contains(vectors().get("timeSignature").get(1).get("hex").textValue()), six);
    assertTrue(six.contains(vectors().get("tempo").get(1).get("hex").textValue()), six);
  }

  /** Frames of the markers as the JDK's reader places them, by the file's own tempo alone. */
  private static List<String> readByTheJdk(byte[] file, double rate, double startSeconds)
      throws IOException, InvalidMidiDataException {
    Sequence sequence = MidiSystem.getSequence(new ByteArrayInputStream(file));
    assertEquals(Sequence.PPQ, sequence.getDivisionType(), 0);
    assertEquals(1, sequence.getTracks().length);
    Track track = sequence.getTracks()[0];
    List<String> found = new ArrayList<>();
    double seconds = startSeconds;
    long lastTick = 0;
    double micros = 500_000;
    for (int i = 0; i < track.size(); i++) {
      MidiEvent event = track.get(i);
      seconds += (event.getTick() - lastTick) * micros / 1e6 / sequence.getResolution();
      lastTick = event.getTick();
      if (event.getMessage() instanceof MetaMessage meta) {
        byte[] data = meta.getData();
        if (meta.getType() == 0x51) {
          micros = (data[0] & 0xFF) << 16 | (data[1] & 0xFF) << 8 | (data[2] & 0xFF);
        } else if (meta.getType() == 0x06) {
          found.add(Math.round(seconds * rate) + " " + new String(data, StandardCharsets.UTF_8));
        }
      }
    }
    return found;
  }

  @ParameterizedTest
  @ValueSource(ints = {8_000, 11_025, 44_100, 44_101, 48_000, 96_000, 192_000, 384_000, 999_983})
  void theJdkFindsEveryMarkerOnItsSample(int rate) throws Exception {
    Random random = new Random(rate);
    List<MarkerFile.Marker> markers = new ArrayList<>();
    List<String> expected = new ArrayList<>();
    long frame = 0;
    for (int i = 0; i < 5_000; i++) {
      markers.add(new MarkerFile.Marker(frame, "鼓 " + i + " é"));
      expected.add(frame + " 鼓 " + i + " é");
      frame += 1 + random.nextInt(2 * rate);
    }
    assertEquals(
        expected, readByTheJdk(write(markers, MarkerGrid.ofSamples(rate)), rate, 0), "rate");
  }

  @Test
  void aGapLongerThanANumberIsFilled() throws Exception {
    // 6000 s at one tick a sample of 48 kHz: 288 000 000 ticks, over 0x0FFFFFFF.
    byte[] file =
        write(List.of(new MarkerFile.Marker(288_000_000, "late")), MarkerGrid.ofSamples(48_000));
    assertEquals(List.of("288000000 late"), readByTheJdk(file, 48_000, 0));
  }

  /** Changes of tempo and meter, one of them within a bar. */
  private static TempoMap song(double barOneSeconds) {
    return new TempoMap(
        List.of(
            new TempoMap.Tempo(0, 60e6 / 576_923),
            new TempoMap.Tempo(33.5, 60e6 / 400_001),
            new TempoMap.Tempo(90, 60e6 / 1_000_003)),
        List.of(
            new TempoMap.Meter(0, 4, 4),
            new TempoMap.Meter(33.5, 7, 8),
            new TempoMap.Meter(89, 6, 8)),
        barOneSeconds);
  }

  @ParameterizedTest
  @CsvSource({"0, 0", "1.3, -1.0077", "-2, -2"})
  void withTheSongsTempoMarkersLieWithinHalfATick(double barOne, double start) throws Exception {
    // 4/4 at 104.0: a bar of 2.307692 s; bar 1 at 1.3 s begins the file a bar earlier.
    MarkerGrid grid = MarkerGrid.ofTempo(song(barOne), 48_000);
    assertEquals(start, grid.startSeconds(), 1e-4);
    Random random = new Random(7);
    List<MarkerFile.Marker> markers = new ArrayList<>();
    for (int i = 0; i < 500; i++) {
      markers.add(new MarkerFile.Marker(i * 9_600L + random.nextInt(9_600), "m" + i));
    }
    List<String> found = readByTheJdk(write(markers, grid), 48_000, grid.startSeconds());
    assertEquals(500, found.size());
    double worst = 0;
    for (int i = 0; i < 500; i++) {
      String[] parts = found.get(i).split(" ", -1);
      assertEquals("m" + i, parts[1]);
      double error = Long.parseLong(parts[0]) - markers.get(i).frame();
      assertEquals(grid.errorFrames(markers.get(i).frame()), error, 0.51);
      worst = Math.max(worst, Math.abs(error));
    }
    assertTrue(worst <= grid.worstErrorFrames() + 0.5, "worst " + worst);
    assertTrue(worst > 5, "a tick of 960 is coarser than a sample: worst " + worst);
  }

  @Test
  void aTempoThatTheFileCannotHoldIsRefused() {
    String message =
        assertThrows(IOException.class, () -> MarkerGrid.ofTempo(new TempoMap(3, 4, 4, 0), 48_000))
            .getMessage();
    assertTrue(message.contains("3.00 quarter notes") && message.contains("--midi exact"), message);
  }

  @Test
  void aMapThatIsWrittenIsReadAgain() throws IOException {
    TempoMap map = read(write(List.of(), MarkerGrid.ofTempo(song(0), 48_000)));
    assertEquals(song(0), map);
    assertEquals(song(0).barsBeats(1_234_567, 48_000), map.barsBeats(1_234_567, 48_000));
  }

  @Test
  void aMapOfSeveralTracksWithNotesBetweenIsRead() throws Exception {
    // Written by the JDK: format 1, tempo in the first track, notes with running status after it.
    Sequence sequence = new Sequence(Sequence.PPQ, 480);
    Track first = sequence.createTrack();
    first.add(meta(0x58, 0, 3, 2, 24, 8));
    first.add(meta(0x51, 0, 0x09, 0x27, 0xC0));
    first.add(meta(0x51, 2880, 0x0F, 0x42, 0x40));
    Track notes = sequence.createTrack();
    for (int i = 0; i < 200; i++) {
      notes.add(
          new MidiEvent(new javax.sound.midi.ShortMessage(0x90, 2, 40 + i % 30, i % 128), 90L * i));
      notes.add(new MidiEvent(new javax.sound.midi.ShortMessage(0xC0, 2, i % 128, 0), 90L * i));
    }
    notes.add(
        new MidiEvent(
            new javax.sound.midi.SysexMessage(new byte[] {(byte) 0xF0, 1, 2, (byte) 0xF7}, 4),
            100));
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    MidiSystem.write(sequence, 1, out);
    // 100 quarter notes a minute, from the third bar of 3/4 on 60.
    assertEquals(
        new TempoMap(
            List.of(new TempoMap.Tempo(0, 100), new TempoMap.Tempo(6, 60)),
            List.of(new TempoMap.Meter(0, 3, 4)),
            0),
        read(out.toByteArray()));
  }

  private static MidiEvent meta(int type, long tick, int... data) throws Exception {
    byte[] bytes = new byte[data.length];
    for (int i = 0; i < data.length; i++) {
      bytes[i] = (byte) data[i];
    }
    return new MidiEvent(new MetaMessage(type, bytes, bytes.length), tick);
  }

  @Test
  void withoutEventsTheStandardsDefaultsHoldAndThatIsTold() throws IOException {
    Path file =
        Files.write(
            folder.resolve("bare.mid"),
            bytes("4D546864 00000006 0000 0001 01E0 4D54726B 00000004 00FF2F00"));
    TempoMapFile.Found found = TempoMapFile.read(file, 0.5);
    assertEquals(new TempoMap(120, 4, 4, 0.5), found.map());
    assertEquals(false, found.tellsTempo());
    assertEquals(false, found.tellsMeter());
  }

  @Test
  void unknownChunksAndALongerHeaderArePassedOver() throws IOException {
    assertEquals(
        new TempoMap(100, 4, 4, 0),
        read(
            bytes(
                "4D546864 00000008 0000 0001 01E0 BEEF 58585858 00000003 010203"
                    + "4D54726B 0000000B 00FF51030927C0 00FF2F00")));
  }

  @ParameterizedTest
  @CsvSource({
    "52494646 00000006 0000 0001 01E0, is no Standard MIDI File",
    "4D546864 00000006 0000 0001 E728 4D54726B 00000004 00FF2F00, counts time code frames",
    "4D546864 00000006 0000 0001 0000 4D54726B 00000004 00FF2F00, no ticks a quarter",
    "4D546864 00000006 0000 0001 01E0, holds no track",
    "4D546864 00000006 0000 0001 01E0 4D54726B 0000FFFF 00FF2F00, is cut off",
    "4D546864 00000006 0000 0001 01E0 4D54726B 00000007 00FF5103000000, a tempo without an end",
    "4D546864 00000006 0000 0001 01E0 4D54726B 00000008 00FF580400021808, a meter of 0/2^2",
    "4D546864 00000006 0000 0001 01E0 4D54726B 00000005 FFFFFFFF7F, more than four bytes",
    "4D546864 00000006 0000 0001 01E0 4D54726B 00000003 003C40, no MIDI event",
    "4D546864 00000006 0000 0001 01E0 4D54726B 00000004 00FF5103, cut off within an event",
  })
  void whatIsNoTempoMapIsRefusedWithItsName(String hex, String words) throws IOException {
    Path file = Files.write(folder.resolve("map.mid"), bytes(hex));
    String message =
        assertThrows(TempoMapFile.NoTempoMap.class, () -> TempoMapFile.read(file, 0)).getMessage();
    assertTrue(message.startsWith("'map.mid' ") && message.contains(words), message);
  }

  @Test
  void noDamageMakesTheReaderFailInAnyOtherWay() throws IOException {
    byte[] whole =
        write(List.of(new MarkerFile.Marker(5, "x")), MarkerGrid.ofTempo(song(0), 8_000));
    Random random = new Random(11);
    int refused = 0;
    for (int i = 0; i < 3_000; i++) {
      byte[] file = whole.clone();
      for (int k = 0; k < 3; k++) {
        file[random.nextInt(file.length)] = (byte) random.nextInt(256);
      }
      Path path = Files.write(folder.resolve("map.mid"), file);
      try {
        TempoMapFile.read(path, 0);
      } catch (TempoMapFile.NoTempoMap e) {
        refused++;
      }
    }
    assertTrue(refused > 100, "refused " + refused);
  }
}
