package cairn.tui.terminal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.Stem;
import cairn.collisions.StemFigures;
import cairn.collisions.TimeRange;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Summary;
import cairn.collisions.line.WindowGrid;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.Marks;
import cairn.tui.model.Event;
import cairn.tui.model.KeyPress;
import cairn.tui.model.Look;
import cairn.tui.model.Model;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Row;
import cairn.tui.model.Samples;
import cairn.tui.model.Size;
import cairn.tui.model.Song;
import cairn.tui.update.Update;
import cairn.tui.view.Pictures;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** What a moved row sends in a large window, over a made-up list of moments of 64 stems. */
class RowMovedTest {

  private static final int STEMS = 64;
  private static final int MOMENTS = 200;
  private static final int RATE_HZ = 8_000;
  private static final int FRAMES = 100 * RATE_HZ;

  /** A slow link carries so much in a sixth of a second. */
  private static final int MOST_BYTES = 2_000;

  private final Random random = new Random(1);

  private Song song() {
    WindowGrid grid = WindowGrid.halfSeconds(new TimeRange(0, FRAMES), RATE_HZ);
    double[] blocks = new double[Summary.ofSilence(grid, RATE_HZ).blocks()];
    Arrays.fill(blocks, 0.5);
    double[] energies = new double[grid.windows()];
    Arrays.fill(energies, 100);
    double[][] peaks = new double[STEMS][grid.windows()];
    for (double[] ofStem : peaks) {
      Arrays.fill(ofStem, 0.1);
    }
    Summary summary = Summary.of(grid, RATE_HZ, blocks, energies, peaks, 0);
    HeldLine line =
        HeldLine.draw(
                summary,
                RATE_HZ,
                Settings.DEFAULT.baseline(),
                Optional.empty(),
                Settings.DEFAULT.line())
            .orElseThrow();
    List<String> names = new ArrayList<>();
    List<Stem> stems = new ArrayList<>();
    List<StemFigures> figures = new ArrayList<>();
    String[] voices = {"surdo low", "caixa", "repinique", "brass high", "lead voice", "claps"};
    for (int k = 0; k < STEMS; k++) {
      names.add(voices[k % voices.length] + " " + (k + 1));
      stems.add(new Stem(names.get(k), 2, FRAMES));
      figures.add(new StemFigures(0.1, OptionalDouble.of(0.1), 1, 1));
    }
    List<Moment> moments = new ArrayList<>();
    for (int i = 0; i < MOMENTS; i++) {
      moments.add(moment(i, line));
    }
    Pass pass =
        new Pass(
            Session.atUnity(RATE_HZ, stems), Settings.DEFAULT, summary, line, moments, figures);
    return new Song(
        "parade",
        1,
        pass,
        names,
        names,
        Collections.nCopies(STEMS, ""),
        List.of(),
        Optional.empty());
  }

  private Moment moment(int i, HeldLine line) {
    long frame = random.nextInt(FRAMES);
    double peak = 0.9 - 0.0001 * i;
    List<Contribution> all = new ArrayList<>();
    for (int k = 0; k < STEMS; k++) {
      double amplitude = 0.1 * random.nextGaussian();
      all.add(new Contribution(k, amplitude, amplitude / peak, 0.1, peak - amplitude));
    }
    all.sort(Comparator.comparingDouble(Contribution::amplitude).reversed());
    return new Moment(
        i + 1,
        frame,
        0,
        peak,
        line.averagePeakAt(frame),
        line.levelAt(frame),
        frame,
        Math.min(FRAMES - 1, frame + 40),
        41,
        41,
        2 + random.nextInt(7),
        false,
        all);
  }

  private static MomentNow seen(Moment moment) {
    float[] bus = new float[RATE_HZ / 5];
    for (int i = 0; i < bus.length; i++) {
      bus[i] = (float) Math.sin(0.02 * i * (1 + moment.rank() % 7));
    }
    return new MomentNow(
        Marks.NONE,
        moment.peakFrame(),
        true,
        new MomentNow.Pile(
            true,
            false,
            moment.peakFrame(),
            0,
            moment.peak(),
            41,
            moment.depth(),
            moment.contributions()),
        List.of(),
        Map.of(),
        List.of(),
        "every hit here is sustained",
        new MomentNow.Wave(
            moment.peakFrame() - bus.length / 2,
            moment.peakFrame(),
            new Samples(bus),
            Map.of(),
            Map.of(),
            Map.of()));
  }

  @Test
  void aMovedRowNeverSendsMoreThanTwoKilobytes() throws IOException {
    Look look = new Look(true, Look.Colours.TWO_HUNDRED_FIFTY_SIX);
    Model model = Model.start(new Size(200, 60), look, "parade");
    model =
        Update.update(model, new Event.SongRead(song(), Optional.empty(), Optional.of("as a test")))
            .model();
    assertEquals(MOMENTS, model.rows().size());
    ShownCells shown = new ShownCells(model.size());
    Painter painter = new Painter(shown, StandardCharsets.UTF_8);
    int most = 0;
    long sum = 0;
    int moves = 0;
    for (int i = 0; i < 130; i++) {
      Row row = model.row().orElseThrow();
      // The plots are there whenever the keys have rested, mostly; they are not counted.
      if (i % 7 != 3) {
        model = Update.update(model, new Event.MomentReckoned(seen(row.head()))).model();
      }
      painter.paint(new Shown(Pictures.draw(model), look.colours()), true);
      boolean down = i < 90 || i % 5 < 2;
      int key = down ? 'j' : 'k';
      model = Update.update(model, new Event.Pressed(KeyPress.text(key))).model();
      int bytes = painter.paint(new Shown(Pictures.draw(model), look.colours()), true);
      assertTrue(bytes <= MOST_BYTES, bytes + " bytes at move " + i);
      most = Math.max(most, bytes);
      sum += bytes;
      moves++;
    }
    assertTrue(model.selectedRow() > 60, "row " + model.selectedRow());
    assertTrue(most > sum / moves, "some moves scroll, most do not");
    // What the terminal shows after all that scrolling is the whole picture.
    ShownCells fresh = new ShownCells(model.size());
    Shown last = new Shown(Pictures.draw(model), look.colours());
    new Painter(fresh, StandardCharsets.UTF_8).paint(last, true);
    assertEquals(Arrays.asList(fresh.texts), Arrays.asList(shown.texts));
    assertEquals(Arrays.asList(fresh.styles), Arrays.asList(shown.styles));
  }
}
