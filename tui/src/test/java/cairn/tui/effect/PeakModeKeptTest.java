package cairn.tui.effect;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Contribution;
import cairn.collisions.plan.Marks;
import cairn.collisions.time.TempoMap;
import cairn.io.files.XdgFolders;
import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.stems.ScanOptions;
import cairn.io.stems.StemFolder;
import cairn.io.stems.StemSet;
import cairn.io.stems.Survey;
import cairn.io.wave.WaveLayout;
import cairn.tui.model.Effect;
import cairn.tui.model.Event;
import cairn.tui.model.MomentNow;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A session that was opened in true peaks stays so. */
class PeakModeKeptTest {

  private static final int RATE = 8_000;
  private static final Line LINE = new Line.Level(-8);

  @TempDir private Path folder;
  private final BlockingQueue<Event> told = new LinkedBlockingQueue<>();

  /** A quarter of the rate at 45 degrees: the wave stands 3.01 dB above every sample. */
  @BeforeEach
  void write() throws IOException {
    double[] x = new double[4 * RATE];
    for (int n = 0; n < x.length; n++) {
      x[n] = (n % RATE < 40 ? 0.25 : 0.01) * Math.sin(Math.PI / 2 * n + Math.PI / 4);
    }
    for (String name : new String[] {"caixa.wav", "surdo.wav"}) {
      try (OutputStream out = Files.newOutputStream(folder.resolve(name));
          LinearSoundWriter writer =
              WaveLayout.plain(LinearCoding.FLOAT_64_LITTLE, RATE, 1, x.length).writeTo(out)) {
        writer.write(new double[][] {x}, 0, x.length);
      }
    }
  }

  private EffectRunner open(Optional<PeakMode> mode) throws IOException {
    StemSet set = StemFolder.scan(List.of(folder), new ScanOptions(true, ScanOptions.Place.START));
    EffectRunner runner =
        new EffectRunner(
            new Stems() {
              @Override
              public StemSet scan() {
                return set;
              }

              @Override
              public Survey survey() throws IOException {
                return StemFolder.survey(List.of(folder), ScanOptions.DEFAULT);
              }

              @Override
              public XdgFolders folders() {
                return XdgFolders.NONE;
              }

              @Override
              public Session session(StemSet same) {
                return set.toSession();
              }

              @Override
              public Settings settings(Session session, PeakMode unlessAsked) {
                return Settings.DEFAULT.withLine(LINE).withMode(mode.orElse(unlessAsked));
              }

              @Override
              public Optional<PeakMode> mode() {
                return mode;
              }

              @Override
              public boolean asksForSettings() {
                return false;
              }

              @Override
              public boolean asksForFaders() {
                return false;
              }

              @Override
              public Optional<TempoMap> tempo() {
                return Optional.empty();
              }

              @Override
              public Optional<Path> sessionFile() {
                return Optional.empty();
              }

              @Override
              public int threads() {
                return 1;
              }
            },
            told::add);
    runner.open();
    return runner;
  }

  private Event.SongRead read(EffectRunner runner) throws InterruptedException {
    runner.begin(new Effect.Analyse(List.of(), Optional.empty()));
    return await(Event.SongRead.class);
  }

  private <E extends Event> E await(Class<E> kind) throws InterruptedException {
    for (int i = 0; i < 1_000; i++) {
      Event event = told.poll(20, TimeUnit.SECONDS);
      if (event == null || event instanceof Event.Failed || event instanceof Event.NotSaved) {
        throw new AssertionError("no " + kind.getSimpleName() + ": " + event);
      }
      if (kind.isInstance(event)) {
        return kind.cast(event);
      }
    }
    throw new AssertionError("no " + kind.getSimpleName());
  }

  @Test
  void theModeIsKeptUntilAnotherIsAskedFor() throws Exception {
    try (EffectRunner runner = open(Optional.of(PeakMode.TRUE_PEAK))) {
      Event.SongRead read = read(runner);
      assertEquals(PeakMode.TRUE_PEAK, read.song().pass().settings().mode());
      runner.begin(new Effect.Save(1, read.kept().orElseThrow()));
      await(Event.Saved.class);
    }
    try (EffectRunner runner = open(Optional.empty())) {
      Settings kept = read(runner).song().pass().settings();
      assertEquals(PeakMode.TRUE_PEAK, kept.mode());
    }
    try (EffectRunner runner = open(Optional.of(PeakMode.SAMPLE_PEAK))) {
      Settings asked = read(runner).song().pass().settings();
      assertEquals(PeakMode.SAMPLE_PEAK, asked.mode());
    }
  }

  @Test
  void whatIsLeftOfAMomentIsReadAtItsInstant() throws Exception {
    try (EffectRunner runner = open(Optional.of(PeakMode.TRUE_PEAK))) {
      var pass = read(runner).song().pass();
      long frame = pass.moments().get(0).peakFrame();
      assertTrue(pass.moments().get(0).instant() != 0, "between samples");
      MomentNow before = look(runner, Marks.NONE, frame);
      assertEquals(pass.peak(), before.pile().level());
      assertEquals(0.5, before.pile().contributions().get(0).share(), 1e-9);

      Marks marks = Marks.NONE.addAll(before.advice().get(0).marks());
      MomentNow after = look(runner, marks, frame);
      assertFalse(after.pile().over());
      double sum = after.pile().contributions().stream().mapToDouble(Contribution::amplitude).sum();
      assertEquals(after.pile().level(), sum, 1e-12);
      // The least fix leaves no more than a tenth of a dB of room; samples stand 3 dB lower.
      double line = pass.line().level(0);
      assertTrue(after.pile().level() <= line, "left: " + after.pile().level());
      assertTrue(after.pile().level() > 0.8 * line, "left: " + after.pile().level());
    }
  }

  private MomentNow look(EffectRunner runner, Marks marks, long frame) throws InterruptedException {
    runner.begin(new Effect.ReckonMoment(marks, List.of(frame), false, Set.of()));
    return await(Event.MomentReckoned.class).moment();
  }
}
