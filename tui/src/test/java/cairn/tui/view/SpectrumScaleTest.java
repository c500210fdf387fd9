package cairn.tui.view;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Fader;
import cairn.collisions.Session;
import cairn.collisions.spectrum.Portrait;
import cairn.tui.model.Draft;
import cairn.tui.model.Screen;
import cairn.tui.model.Size;
import cairn.tui.model.Spectra;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;

/** The scale of the spectrum: 60 dB, and not much more, however high the window. */
class SpectrumScaleTest {

  @Test
  void thePlotShowsSixtyDbAndAtMostAQuarterMore() {
    for (int rows = 7; rows <= 150; rows++) {
      double span = rows * SpectrumView.rowDb(rows);
      assertTrue(span >= 60 && span <= 75, rows + " rows: " + span);
      int labels = SpectrumView.labelRows(rows);
      assertEquals(0, labels * SpectrumView.rowDb(rows) % 1, rows + " rows");
      assertTrue(rows / labels >= 1, rows + " rows: " + labels);
    }
  }

  @Test
  void aReferenceThatHasNearlyNothingIsSaidToBeOverSixtyDbOff() {
    ParadeModels models = ParadeModels.all();
    Draft draft = new Draft(models.screen(Screen.SPECTRUM, new Size(80, 24), ParadeModels.UTF_8));
    Spectra spectra = draft.spectra.orElseThrow();
    Session session = models.song.pass().session();
    // So soft that it has no loudness, and is not brought to that of the bus.
    List<Fader> faint = session.faders().stream().map(fader -> fader.withGainDb(-90)).toList();
    Portrait reference =
        models.stems.portrait(new Session(session.sampleRateHz(), 0, session.stems(), faint));
    draft.spectra =
        Optional.of(new Spectra(spectra.bus(), Optional.of(reference), "faint.wav", ""));
    String text = Pictures.draw(draft.model()).asText();
    assertTrue(text.contains("over 60 dB more"), text);
  }
}
