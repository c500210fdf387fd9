package cairn.io.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import cairn.collisions.Analysis;
import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.Unanalysable;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.line.Line;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.WhatIf;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import cairn.io.aiff.AiffLayout;
import cairn.io.flac.FlacWriter;
import cairn.io.sound.BroadcastInfo;
import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundFile;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.sound.SoundFile;
import cairn.io.sound.SoundFormat;
import cairn.io.sound.SoundReader;
import cairn.io.stems.ScanOptions;
import cairn.io.stems.StemFiles;
import cairn.io.stems.StemFolder;
import cairn.io.stems.StemProbe;
import cairn.io.stems.StemSet;
import cairn.io.wave.CueChunks;
import cairn.io.wave.WaveLayout;
import java.io.IOException;
import java.io.OutputStream;
import java.io.RandomAccessFile;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.CancellationException;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

class StemRendererTest {

  private static final int RATE = 8_000;
  private static final int FRAMES = 3 * RATE + 1;

  @TempDir Path parent;
  private Path stems;
  private Path fixed;

  @BeforeEach
  void makeFolders() throws IOException {
    stems = Files.createDirectory(parent.resolve("stems"));
    fixed = parent.resolve("fixed");
  }

  /** Noise with a peak at 1 s; exact in 8 bits, so exact in every coding. */
  private static double[][] noise(int channels, int seed) {
    Random random = new Random(seed);
    double[][] x = new double[channels][FRAMES];
    for (double[] channel : x) {
      for (int i = 0; i < FRAMES; i++) {
        double gain = Math.abs(i - RATE) < 40 ? 100 : 20;
        channel[i] = Math.rint(gain * (2 * random.nextDouble() - 1)) / 128;
      }
    }
    return x;
  }

  /** A WAVE file with chunks before and after the sound. */
  private void wave(String name, LinearCoding coding, double[][] x) throws IOException {
    byte[] later = CueChunks.of(List.of(new CueChunks.Point(7, "é", Optional.empty(), 3)));
    WaveLayout layout =
        WaveLayout.plain(coding, RATE, x.length, x[0].length)
            .with(new BroadcastInfo("mine", 99))
            .withLater(later.length);
    try (OutputStream out = Files.newOutputStream(stems.resolve(name))) {
      LinearSoundWriter writer = layout.writeTo(out);
      writer.write(x, 0, x[0].length);
      out.write(later);
    }
  }

  private static double[][] read(Path file) throws IOException {
    try (SoundFile sound = StemProbe.open(file);
        var reader = sound.openReader()) {
      double[][] x = new double[sound.format().channels()][(int) sound.format().frames()];
      reader.read(0, x[0].length, x, 0);
      return x;
    }
  }

  private static Marks marks(Fix... fixes) {
    List<Mark> marks = new ArrayList<>();
    for (Fix fix : fixes) {
      marks.add(Mark.of(Math.max(0, fix.startFrame()), fix));
    }
    return new Marks(marks);
  }

  private RenderedStems render(Marks marks) throws IOException {
    return render(marks, Fader.UNITY, Progress.NONE, false);
  }

  /** Renders with one fader on all stems. */
  private RenderedStems render(Marks marks, Fader fader, Progress progress, boolean force)
      throws IOException {
    StemSet set = StemFolder.scan(List.of(stems), ScanOptions.DEFAULT);
    Session plain = set.toSession();
    Session session =
        new Session(RATE, 0, plain.stems(), plain.faders().stream().map(f -> fader).toList());
    try (StemFiles files = set.open()) {
      return new StemRenderer(set, files, session, progress).write(marks, fixed, force);
    }
  }

  /** The weight of a hit, written from the definition: ramps of 2 ms on both edges. */
  private static double weight(long n, long start, long end) {
    double f = 2 * 8;
    double u = Math.min((n - start + 0.5) / f, (end - n - 0.5) / f) + 0.5;
    u = Math.max(0, Math.min(1, u));
    return 0.5 - 0.5 * Math.cos(Math.PI * u);
  }

  @Test
  void onlyTheSamplesOfAffectedRangesDiffer() throws IOException {
    wave("surdo.wav", LinearCoding.PCM_24_LITTLE, noise(2, 1));
    Nudge later = new Nudge(0, 7_900, 8_200, 5);
    Trim down = new Trim(0, 12_000, 12_100, 30);

    render(marks(later, down));

    byte[] before = Files.readAllBytes(stems.resolve("surdo.wav"));
    byte[] after = Files.readAllBytes(fixed.resolve("surdo.wav"));
    assertEquals(before.length, after.length);
    double[][] x = read(stems.resolve("surdo.wav"));
    double[][] y = read(fixed.resolve("surdo.wav"));
    int differing = 0;
    for (int c = 0; c < 2; c++) {
      for (int n = 0; n < FRAMES; n++) {
        double w = weight(n, 7_900, 8_200);
        double v = weight(n, 12_000, 12_100);
        double expected = x[c][n];
        if (w > 0) {
          expected += w * (x[c][n - 5] - x[c][n]);
        }
        if (v > 0) {
          expected *= 1 - v * (1 - Math.pow(10, -3.0 / 20));
        }
        if (w > 0 || v > 0) {
          // Rounded to the nearest of 2^23 steps.
          assertEquals(expected, y[c][n], 0x1p-24 + 1e-12);
          differing += x[c][n] == y[c][n] ? 0 : 1;
        } else {
          assertEquals(x[c][n], y[c][n], 0);
        }
      }
    }
    assertTrue(differing > 500, "differing " + differing);
    // Header, bext and cue chunks: all bytes outside the sound.
    int first =
        new String(before, java.nio.charset.StandardCharsets.ISO_8859_1).indexOf("data") + 8;
    int end = first + FRAMES * 6;
    assertArrayEquals(Arrays.copyOf(before, first), Arrays.copyOf(after, first));
    assertArrayEquals(
        Arrays.copyOfRange(before, end, before.length),
        Arrays.copyOfRange(after, end, after.length));
  }

  @ParameterizedTest
  @EnumSource(
      names = {
        "UNSIGNED_8",
        "PCM_16_LITTLE",
        "PCM_24_LITTLE",
        "PCM_32_LITTLE",
        "FLOAT_32_LITTLE",
        "FLOAT_64_LITTLE"
      })
  void everyCodingIsExactOutsideAndRoundedInside(LinearCoding coding) throws IOException {
    wave("caixa.wav", coding, noise(1, 2));
    render(marks(new Trim(0, 7_990, 8_010, 60)));
    double[][] x = read(stems.resolve("caixa.wav"));
    double[][] y = read(fixed.resolve("caixa.wav"));
    double half =
        coding.kind() == cairn.io.sound.SoundFormat.Kind.INTEGER
            ? Math.scalb(1.0, -coding.bits())
            : coding.bits() == 32 ? 0x1p-25 : 1e-15;
    for (int n = 0; n < FRAMES; n++) {
      double w = weight(n, 7_990, 8_010);
      double expected = x[0][n] * (1 - w * (1 - Math.pow(10, -6.0 / 20)));
      assertEquals(expected, y[0][n], w > 0 ? half + 1e-15 : 0, "frame " + n);
    }
    assertNotEquals(x[0][8_000], y[0][8_000]);
  }

  @Test
  void stemsWithoutFixesAreCopiesByteForByte() throws IOException {
    wave("a.wav", LinearCoding.PCM_16_LITTLE, noise(2, 3));
    Files.createDirectory(stems.resolve("drums"));
    wave("drums/b.wav", LinearCoding.FLOAT_32_LITTLE, noise(1, 4));
    flac("c.flac", noise(2, 5), 16);
    render(marks(new Trim(0, 7_990, 8_010, 60)));
    for (String name : List.of("drums/b.wav", "c.flac")) {
      assertEquals(-1, Files.mismatch(stems.resolve(name), fixed.resolve(name)), name);
    }
    assertTrue(Files.mismatch(stems.resolve("a.wav"), fixed.resolve("a.wav")) > 0);
    try (Stream<Path> all = Files.walk(fixed)) {
      assertEquals(3, all.filter(Files::isRegularFile).count());
    }
  }

  private void flac(String name, double[][] x, int bits) throws IOException {
    try (FlacWriter writer = FlacWriter.create(stems.resolve(name), RATE, x.length, bits)) {
      writer.write(x, 0, x[0].length);
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {8, 12, 16, 20, 24})
  void flacWithFixesBecomesWaveOfItsDepth(int bits) throws IOException {
    flac("agogo.flac", noise(2, 6), bits);
    RenderedStems rendered = render(marks(new Nudge(0, 7_900, 8_200, -7)));
    int container = (bits + 7) / 8 * 8;
    assertEquals(List.of(fixed.resolve("agogo.wav")), rendered.files());
    double[][] x = read(stems.resolve("agogo.flac"));
    double[][] y = read(fixed.resolve("agogo.wav"));
    try (SoundFile sound = StemProbe.open(fixed.resolve("agogo.wav"))) {
      assertEquals(container, sound.format().bits());
      assertEquals(List.of(), sound.mended());
    }
    for (int n = 0; n < FRAMES; n++) {
      double w = weight(n, 7_900, 8_200);
      double expected = w > 0 ? x[0][n] + w * (x[0][n + 7] - x[0][n]) : x[0][n];
      assertEquals(expected, y[0][n], w > 0 ? Math.scalb(1.0, -container) + 1e-12 : 0);
    }
  }

  @Test
  void aPairStaysTwoFiles() throws IOException {
    double[][] x = noise(2, 7);
    wave("bells.L.wav", LinearCoding.PCM_16_LITTLE, new double[][] {x[0]});
    wave("bells.R.wav", LinearCoding.PCM_16_LITTLE, new double[][] {x[1]});
    RenderedStems rendered = render(marks(new Nudge(0, 7_900, 8_200, 3)));
    assertEquals(1, rendered.stems().size());
    for (int c = 0; c < 2; c++) {
      double[][] y = read(fixed.resolve(c == 0 ? "bells.L.wav" : "bells.R.wav"));
      assertEquals(1, y.length);
      for (int n = 7_950; n < 8_150; n++) {
        assertEquals(x[c][n - 3], y[0][n], 0x1p-16);
      }
    }
  }

  @Test
  void aiffIsPatchedInItsPlace() throws IOException {
    double[][] x = noise(1, 8);
    try (OutputStream out = Files.newOutputStream(stems.resolve("x.aif"));
        LinearSoundWriter writer =
            new AiffLayout(LinearCoding.PCM_24_BIG, RATE, 1, FRAMES).writeTo(out)) {
      writer.write(x, 0, FRAMES);
    }
    render(marks(new Nudge(0, 7_900, 8_200, 3)));
    double[][] y = read(fixed.resolve("x.aif"));
    for (int n = 0; n < FRAMES; n++) {
      boolean inside = n >= 7_910 && n < 8_190;
      boolean outside = n < 7_892 || n >= 8_208;
      if (inside || outside) {
        assertEquals(inside ? x[0][n - 3] : x[0][n], y[0][n], inside ? 0x1p-24 : 0);
      }
    }
  }

  @Test
  void fadersAreNotWrittenACeilingIsDividedAndAnOffsetTakenBack() throws IOException {
    double[][] x = noise(1, 9);
    wave("caixa.wav", LinearCoding.FLOAT_64_LITTLE, x);
    // On the bus the stem is 6 dB lower, turned over, and 100 frames later: -12 dBFS there are
    // -6 dBFS in the file.
    Fader fader = new Fader(-6, true, false, false, 100);
    render(marks(new Clip(0, RATE + 60, RATE + 140, -120)), fader, Progress.NONE, false);
    double[][] y = read(fixed.resolve("caixa.wav"));
    double ceiling = Math.pow(10, -6.0 / 20);
    int clipped = 0;
    for (int n = 0; n < FRAMES; n++) {
      // The span lies 100 frames earlier in the file; neighbours of the same lobe go with it.
      boolean inSpan = n >= RATE - 40 && n < RATE + 40;
      if (inSpan && Math.abs(x[0][n]) > ceiling) {
        assertEquals(Math.copySign(ceiling, x[0][n]), y[0][n], 1e-12);
        clipped++;
      } else {
        assertEquals(x[0][n], y[0][n], 0);
      }
    }
    assertTrue(clipped > 10, "clipped " + clipped);
  }

  @Test
  void aMutedStemIsFixedToo() throws IOException {
    wave("caixa.wav", LinearCoding.PCM_16_LITTLE, noise(1, 10));
    render(marks(new Trim(0, 7_990, 8_010, 60)), Fader.UNITY.withMuted(true), Progress.NONE, false);
    assertTrue(Files.mismatch(stems.resolve("caixa.wav"), fixed.resolve("caixa.wav")) > 0);
  }

  @Test
  void aHitAtTheFirstFrameAndOneAtTheLastAreCutToTheFile() throws IOException {
    wave("caixa.wav", LinearCoding.PCM_16_LITTLE, noise(1, 11));
    render(marks(new Trim(0, -50, 20, 60), new Trim(0, FRAMES - 20, FRAMES + 50, 60)));
    double[][] x = read(stems.resolve("caixa.wav"));
    double[][] y = read(fixed.resolve("caixa.wav"));
    double half = Math.pow(10, -6.0 / 20);
    assertEquals(x[0][0] * half, y[0][0], 0x1p-16);
    assertEquals(x[0][FRAMES - 1] * half, y[0][FRAMES - 1], 0x1p-16);
    assertEquals(x[0][RATE], y[0][RATE], 0);
  }

  /** Whatever marks there are, the second analysis shows what the what-if told. */
  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 4, 5, 6})
  void theSecondAnalysisShowsWhatWasTold(int seed) throws Exception {
    Random random = new Random(seed);
    wave("a.wav", LinearCoding.PCM_16_LITTLE, noise(2, 100 + seed));
    wave("b.wav", LinearCoding.FLOAT_32_LITTLE, noise(1, 200 + seed));
    flac("c.flac", noise(2, 300 + seed), 24);
    List<Mark> marks = new ArrayList<>();
    for (int i = 0; i < 12; i++) {
      int k = random.nextInt(3);
      int at = 7_800 + random.nextInt(400);
      int end = at + 20 + random.nextInt(300);
      Fix fix =
          switch (random.nextInt(3)) {
            case 0 -> new Nudge(k, at, end, random.nextBoolean() ? 9 : -9);
            case 1 -> new Trim(k, at, end, 1 + random.nextInt(60));
            default -> new Clip(k, at, at + 20, -60 - random.nextInt(60));
          };
      marks.add(Mark.of(at, fix));
    }
    Fader fader = new Fader(-1.5, seed % 2 == 0, false, false, seed);
    RenderCheck check = renderAndCheck(new Marks(marks), fader, (path) -> {});
    assertTrue(check.holds(), () -> seed + ": " + check.differences());
    assertTrue(check.tolerance() < 1e-4);
    assertFalse(check.gotRuns().isEmpty());
  }

  @Test
  void theSecondAnalysisSaysWhereItDiffers() throws Exception {
    wave("a.wav", LinearCoding.PCM_16_LITTLE, noise(1, 400));
    RenderCheck check =
        renderAndCheck(
            marks(new Trim(0, 7_900, 8_100, 60)),
            Fader.UNITY,
            folder -> {
              try (RandomAccessFile file =
                  new RandomAccessFile(folder.resolve("a.wav").toFile(), "rw")) {
                // Full scale at sample 20000, where nothing was marked; the header has 654 bytes.
                file.seek(44 + 610 + 2 * 20_000);
                file.write(new byte[] {(byte) 0xFF, 0x7F});
              }
            });
    assertFalse(check.holds());
    assertEquals(1, check.differences().size());
    assertEquals(20_000, check.differences().get(0).frame());
    assertEquals(0, check.differences().get(0).told());
    assertEquals(32_767 / 32_768.0, check.differences().get(0).got(), 0);
  }

  private interface Tamper {
    void with(Path folder) throws IOException;
  }

  private RenderCheck renderAndCheck(Marks marks, Fader fader, Tamper tamper)
      throws IOException, Unanalysable {
    StemSet set = StemFolder.scan(List.of(stems), ScanOptions.DEFAULT);
    Session plain = set.toSession();
    Session session =
        new Session(RATE, 0, plain.stems(), plain.faders().stream().map(f -> fader).toList());
    try (StemFiles files = set.open()) {
      Pass pass =
          new Analysis(session, files, Crew.ALONE, Progress.NONE)
              .run(Settings.DEFAULT.withLine(new Line.Level(-6)));
      try (WhatIf told = WhatIf.of(pass, files).to(marks)) {
        RenderedStems rendered =
            new StemRenderer(set, files, session, Progress.NONE).write(marks, fixed, false);
        tamper.with(fixed);
        return RenderCheck.of(pass, told, set, rendered, Crew.ALONE, Progress.NONE);
      }
    }
  }

  @Test
  void aFolderThatHoldsSomethingIsLeftAlone() throws IOException {
    wave("a.wav", LinearCoding.PCM_16_LITTLE, noise(1, 12));
    Files.createDirectory(fixed);
    Files.writeString(fixed.resolve("a.wav"), "mine");
    refused("is not empty; name a new folder, or replace files", false);
    assertEquals("mine", Files.readString(fixed.resolve("a.wav")));

    render(marks(new Trim(0, 0, 9, 1)), Fader.UNITY, Progress.NONE, true);
    assertEquals(FRAMES, read(fixed.resolve("a.wav"))[0].length);

    Files.writeString(fixed.resolve("b.wav"), "other");
    refused("also holds 'b.wav', which would be taken for one of the stems", true);
  }

  @Test
  void anEmptyFolderIsUsed() throws IOException {
    wave("a.wav", LinearCoding.PCM_16_LITTLE, noise(1, 12));
    Files.createDirectory(fixed);
    render(marks(new Trim(0, 0, 9, 1)));
    assertTrue(Files.exists(fixed.resolve("a.wav")));
  }

  @Test
  void placesThatCannotBeAreNamed() throws IOException {
    wave("a.wav", LinearCoding.PCM_16_LITTLE, noise(1, 13));
    fixed = stems;
    refused("is one of the inputs, which are never changed", true);
    fixed = parent.resolve("no/fixed");
    refused("its folder does not exist; make it first", false);
    fixed = Files.writeString(parent.resolve("file"), "x");
    refused("is no folder", false);
  }

  private void refused(String words, boolean force) {
    String message =
        assertThrows(
                IOException.class,
                () -> render(marks(new Trim(0, 0, 9, 1)), Fader.UNITY, Progress.NONE, force))
            .getMessage();
    assertTrue(message.contains(words), message);
    assertNothingLeft();
  }

  private void assertNothingLeft() {
    try (Stream<Path> left = Files.list(parent)) {
      assertTrue(
          left.map(p -> p.getFileName().toString()).noneMatch(name -> name.startsWith(".cairn")));
    } catch (IOException e) {
      throw new AssertionError(e);
    }
  }

  @Test
  void cancelledItLeavesNothing() throws IOException {
    wave("a.wav", LinearCoding.PCM_16_LITTLE, noise(1, 14));
    wave("b.wav", LinearCoding.PCM_16_LITTLE, noise(1, 15));
    int[] told = {0};
    Progress afterOne =
        (step, done, total) -> {
          assertEquals(Progress.Step.WRITE, step);
          told[0]++;
          return told[0] < 2;
        };
    assertThrows(
        CancellationException.class,
        () -> render(marks(new Trim(0, 0, 9, 1)), Fader.UNITY, afterOne, false));
    assertFalse(Files.exists(fixed));
    assertNothingLeft();
  }

  @Test
  void aStemThatChangesMeanwhileIsToldAndNothingIsLeft() throws IOException {
    wave("a.wav", LinearCoding.PCM_16_LITTLE, noise(1, 16));
    Progress changing =
        (step, done, total) -> {
          try {
            Files.write(
                stems.resolve("a.wav"), new byte[9], java.nio.file.StandardOpenOption.APPEND);
          } catch (IOException e) {
            throw new AssertionError(e);
          }
          return true;
        };
    IOException e =
        assertThrows(
            IOException.class,
            () -> render(marks(new Trim(0, 0, 9, 1)), Fader.UNITY, changing, false));
    assertTrue(e.getMessage().contains("changed while it was read"), e.getMessage());
    assertFalse(Files.exists(fixed));
    assertNothingLeft();
  }

  /** A stem of which no blocks are there but those of its header. */
  private Path writeLong(WaveLayout layout) throws IOException {
    Path file = stems.resolve("long.wav");
    Files.write(file, layout.header());
    try (RandomAccessFile out = new RandomAccessFile(file.toFile(), "rw")) {
      out.setLength(layout.fileBytes());
    } catch (IOException e) {
      assumeTrue(false, "no files without blocks here: " + e.getMessage());
    }
    return file;
  }

  @Test
  void aStretchBeyondFourGibibytesGoesIntoItsPlaceOfAWideFile() throws IOException {
    long frames = 1_000_000_000L;
    WaveLayout layout = WaveLayout.plain(LinearCoding.PCM_24_LITTLE, RATE, 2, frames);
    Path file = writeLong(layout);
    double[][] samples = new double[2][70_000];
    for (int n = 0; n < samples[0].length; n++) {
      samples[0][n] = (n + 1) / 131_072.0;
      samples[1][n] = -samples[0][n];
    }
    long first = frames - 100_000;
    try (SoundFile source = StemProbe.open(file);
        FileChannel out = FileChannel.open(file, StandardOpenOption.WRITE)) {
      StemRenderer.put(samples, first, ((LinearSoundFile) source).layout(), out);
    }
    try (SoundFile written = StemProbe.open(file);
        SoundReader reader = written.openReader()) {
      assertEquals(SoundFormat.Container.RF64, written.format().container());
      assertEquals(frames, written.format().frames());
      double[][] into = new double[2][70_002];
      reader.read(first - 1, 70_002, into, 0);
      for (int c = 0; c < 2; c++) {
        assertEquals(0, into[c][0]);
        assertEquals(0, into[c][70_001]);
        assertArrayEquals(samples[c], Arrays.copyOfRange(into[c], 1, 70_001));
      }
    }
  }

  @Test
  void roomIsAskedForBeforeAnythingIsWritten() throws IOException {
    // Longer than any disk here has room for.
    long frames = Files.getFileStore(parent).getUsableSpace() / 2 + (16 << 20);
    WaveLayout layout = WaveLayout.plain(LinearCoding.PCM_16_LITTLE, RATE, 1, frames);
    writeLong(layout);
    refused("free some space or name another place", false);
    assertFalse(Files.exists(fixed));
  }
}
