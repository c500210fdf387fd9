package cairn.io.cache;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Analysis;
import cairn.collisions.Pass;
import cairn.collisions.PassMemory;
import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.TimeRange;
import cairn.collisions.Unanalysable;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.WhatIf;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemReader;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Crew;
import cairn.io.stems.StemFiles;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Moments that are taken from the cache folder in place of being found again. */
class KeptMomentsTest {

  private static final int RATE = 8_000;
  private static final int FRAMES = 40_000;
  private static final Settings SETTINGS = Settings.DEFAULT.withLine(new Line.Level(-12));

  /** Opens its files, but lets nobody read a sample. */
  private static final StemSource SEALED =
      () ->
          new StemReader() {
            @Override
            public void read(int stem, long firstFrame, int frames, double[][] into, int at)
                throws IOException {
              throw new IOException("a stem was read");
            }

            @Override
            public void close() {}
          };

  @TempDir Path temp;

  private KeptStems parade;

  @BeforeEach
  void writeStems() throws IOException {
    parade = new KeptStems(temp);
    writeStrokes("caixa.wav", 1, 1);
    writeStrokes("surdo.wav", 2, 2);
    writeStrokes("tamborim.wav", 1, 3);
  }

  /** A WAVE file of 16 bit with a stroke each 1,500 frames, of a height from a seed. */
  private void writeStrokes(String name, int channels, long seed) throws IOException {
    Random random = new Random(seed);
    double[] height = new double[1];
    parade.write(
        name,
        RATE,
        channels,
        FRAMES,
        i -> {
          int n = i / channels;
          if (i % channels == 0) {
            height[0] = n % 1_500 == 0 ? 2_000 + 6_000 * random.nextDouble() : height[0] * 0.9;
          }
          return height[0] * (n % 2 == 0 ? 1 : -0.7) + 100 * random.nextGaussian();
        });
  }

  private static Pass run(Session session, StemSource source, PassMemory memory, Settings settings)
      throws IOException, Unanalysable {
    return new Analysis(session, source, Crew.ALONE, Progress.NONE).with(memory).run(settings);
  }

  @Test
  void whatIsFoundIsWhatWasWorkedOutAndNoStemIsRead() throws IOException, Unanalysable {
    for (PeakMode mode : PeakMode.values()) {
      Settings settings = SETTINGS.withMode(mode);
      try (StemFiles files = parade.open()) {
        Session session = files.set().toSession();
        Pass plain = run(session, files, PassMemory.NONE, settings);
        run(session, files, parade.memory(files), settings);
        Pass found = run(session, SEALED, parade.memory(files), settings);
        assertTrue(plain.moments().size() > 10, "moments: " + plain.moments().size());
        assertEquals(plain.moments(), found.moments());
        assertEquals(plain.runs(), found.runs());
        assertEquals(plain.stems(), found.stems());
        assertTrue(found.moments().stream().anyMatch(moment -> moment.depth() > 1));
        assertTrue(found.moments().stream().anyMatch(moment -> !moment.isHead()));
        // The bus on which marks are tried begins with the same runs, and reads nothing for them.
        try (WhatIf scanned = WhatIf.of(plain, plain.line(), files, Crew.ALONE, Progress.NONE);
            WhatIf kept = WhatIf.of(found, SEALED)) {
          assertEquals(scanned.runs(), kept.runs());
        }
      }
    }
  }

  @Test
  void noMomentIsKeptAsWell() throws IOException, Unanalysable {
    Settings above = SETTINGS.withLine(new Line.Level(0));
    try (StemFiles files = parade.open()) {
      Session session = files.set().toSession();
      run(session, files, parade.memory(files), above);
      assertEquals(List.of(), run(session, SEALED, parade.memory(files), above).moments());
    }
  }

  @Test
  void everyThingThatCountsHasAnEntryOfItsOwn() throws IOException, Unanalysable {
    try (StemFiles files = parade.open()) {
      PassMemory memory = parade.memory(files);
      Session plain = files.set().toSession();
      HeldLine line = run(plain, files, memory, SETTINGS).line();
      assertTrue(memory.findMoments(plain, line).isPresent());
      for (Session other : KeptStems.others(plain)) {
        assertTrue(memory.findMoments(other, line).isEmpty(), other.toString());
      }
      TimeRange part = new TimeRange(100, 30_000);
      for (Settings settings :
          List.of(
              SETTINGS.withLine(new Line.Level(-12.1)),
              SETTINGS.withMode(PeakMode.TRUE_PEAK),
              SETTINGS.withSection(part),
              SETTINGS.withRange(part))) {
        HeldLine other = run(plain, files, PassMemory.NONE, settings).line();
        assertTrue(memory.findMoments(plain, other).isEmpty(), settings.toString());
      }
      assertTrue(memory.findMoments(plain, line).isPresent());
    }
    // Another stem in the place of one.
    writeStrokes("caixa.wav", 1, 4);
    try (StemFiles files = parade.open()) {
      Session plain = files.set().toSession();
      HeldLine line = run(plain, files, PassMemory.NONE, SETTINGS).line();
      assertTrue(parade.memory(files).findMoments(plain, line).isEmpty());
    }
  }

  /** A line is what it comes to, however it was asked for. */
  @Test
  void theSameLineAskedForInAnotherWayIsFound() throws IOException, Unanalysable {
    try (StemFiles files = parade.open()) {
      Session session = files.set().toSession();
      Pass first = run(session, files, parade.memory(files), SETTINGS);
      Settings held = SETTINGS.withLine(new Line.Held(first.line().levelAt(0)));
      assertEquals(first.moments(), run(session, SEALED, parade.memory(files), held).moments());
    }
  }

  @Test
  void aDamagedOrForeignEntryIsPassedOverAndWrittenAnew() throws IOException, Unanalysable {
    try (StemFiles files = parade.open()) {
      Session session = files.set().toSession();
      Pass pass = run(session, files, parade.memory(files), SETTINGS);
      List<Moment> moments = pass.moments();
      PassMemory memory = parade.memory(files);
      Path entry = parade.entries(".moments").get(0);
      byte[] whole = Files.readAllBytes(entry);
      Random random = new Random(7);
      for (int i = 0; i < 200; i++) {
        byte[] damaged = whole.clone();
        int at = i < 80 ? i : random.nextInt(whole.length);
        damaged[at] ^= (byte) (1 << random.nextInt(8));
        Files.write(entry, damaged);
        assertTrue(memory.findMoments(session, pass.line()).isEmpty(), "byte " + at);
      }
      for (int length : new int[] {0, 1, 60, 64, 100, whole.length / 2, whole.length - 1}) {
        Files.write(entry, Arrays.copyOf(whole, length));
        assertTrue(memory.findMoments(session, pass.line()).isEmpty(), "length " + length);
      }
      // The entry of another line under this one's name.
      run(session, files, parade.memory(files), SETTINGS.withLine(new Line.Level(-13)));
      Path other =
          parade.entries(".moments").stream()
              .filter(path -> !path.equals(entry))
              .findFirst()
              .orElseThrow();
      Files.copy(other, entry, StandardCopyOption.REPLACE_EXISTING);
      assertTrue(memory.findMoments(session, pass.line()).isEmpty());
      assertEquals(moments, run(session, files, parade.memory(files), SETTINGS).moments());
      assertArrayEquals(whole, Files.readAllBytes(entry));
    }
  }

  @Test
  void momentsCountTowardsTheBoundOfTheFolder() throws IOException, Unanalysable {
    try (StemFiles files = parade.open()) {
      Session session = files.set().toSession();
      run(session, files, parade.memory(files), SETTINGS);
      Path first = parade.entries(".moments").get(0);
      long bytes = Files.size(first);
      Instant later = Instant.now().plusSeconds(7200);
      PassMemory tight = FirstPassFolder.of(parade.folders, files, () -> later, bytes * 3 / 2);
      Pass lower = run(session, files, tight, SETTINGS.withLine(new Line.Level(-11)));
      assertFalse(lower.moments().isEmpty());
      assertFalse(Files.exists(first));
      assertEquals(1, parade.entries(".moments").size());
      PassMemory none = FirstPassFolder.of(parade.folders, files, () -> later, 100);
      run(session, files, none, SETTINGS);
      assertFalse(Files.exists(first));
    }
  }
}
