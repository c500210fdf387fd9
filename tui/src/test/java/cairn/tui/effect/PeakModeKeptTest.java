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
import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundWriter;
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
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A session that was opened in true peaks stays so. */
class PeakModeKeptTest {

  private static final int RATE = 8_000;
  private static final Line LINE = new Line.Level(-8);

  @TempDir private Path folder;

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

  private Opening open(Optional<PeakMode> mode) throws IOException {
    return new Opening(
        new AskedStems(folder) {
          @Override
          public Settings settings(Session session, PeakMode unlessAsked) {
            return Settings.DEFAULT.withLine(LINE).withMode(mode.orElse(unlessAsked));
          }

          @Override
          public Optional<PeakMode> mode() {
            return mode;
          }
        });
  }

  @Test
  void theModeIsKeptUntilAnotherIsAskedFor() throws Exception {
    try (Opening opening = open(Optional.of(PeakMode.TRUE_PEAK))) {
      Event.SongRead read = opening.read();
      assertEquals(PeakMode.TRUE_PEAK, read.song().pass().settings().mode());
      opening.answer(new Effect.Save(1, read.kept().orElseThrow(), true), Event.Saved.class);
    }
    try (Opening opening = open(Optional.empty())) {
      Settings kept = opening.read().song().pass().settings();
      assertEquals(PeakMode.TRUE_PEAK, kept.mode());
    }
    try (Opening opening = open(Optional.of(PeakMode.SAMPLE_PEAK))) {
      Settings asked = opening.read().song().pass().settings();
      assertEquals(PeakMode.SAMPLE_PEAK, asked.mode());
    }
  }

  @Test
  void whatIsLeftOfAMomentIsReadAtItsInstant() throws Exception {
    try (Opening opening = open(Optional.of(PeakMode.TRUE_PEAK))) {
      var pass = opening.read().song().pass();
      long frame = pass.moments().get(0).peakFrame();
      assertTrue(pass.moments().get(0).instant() != 0, "between samples");
      MomentNow before = look(opening, Marks.NONE, frame);
      assertEquals(pass.peak(), before.pile().level());
      assertEquals(0.5, before.pile().contributions().get(0).share(), 1e-9);

      Marks marks = Marks.NONE.addAll(before.advice().get(0).marks());
      MomentNow after = look(opening, marks, frame);
      assertFalse(after.pile().over());
      double sum = after.pile().contributions().stream().mapToDouble(Contribution::amplitude).sum();
      assertEquals(after.pile().level(), sum, 1e-12);
      // The least fix leaves no more than a tenth of a dB of room; samples stand 3 dB lower.
      double line = pass.line().level(0);
      assertTrue(after.pile().level() <= line, "left: " + after.pile().level());
      assertTrue(after.pile().level() > 0.8 * line, "left: " + after.pile().level());
    }
  }

  private MomentNow look(Opening opening, Marks marks, long frame) throws InterruptedException {
    return opening
        .answer(
            new Effect.ReckonMoment(marks, List.of(frame), false, Set.of()),
            Event.MomentReckoned.class)
        .moment();
  }
}
