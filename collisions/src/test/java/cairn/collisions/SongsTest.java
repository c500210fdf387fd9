package cairn.collisions;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.line.Baseline;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Whole songs of a parade band, as an engineer meets them: common practice, no source. */
class SongsTest {

  private static final int FS = 48_000;

  private static List<Moment> inTime(Pass pass) {
    return pass.moments().stream().sorted(Comparator.comparingLong(Moment::peakFrame)).toList();
  }

  @ParameterizedTest
  @ValueSource(doubles = {30, 40, 60})
  void aLowNoteIsOneMomentNotOneAHalfCycle(double hz) {
    // Half a cycle of 30 Hz takes 16.7 ms, so its crests follow each other within 35 ms.
    int[] starts = {48_000, 200_000, 300_000};
    int note = 9_600;
    ArrayStems stems =
        new ArrayStems(FS)
            .mono("bed", 384_000, n -> 0.25 * Math.sin(2 * Math.PI * n / 480.0))
            .mono("bass drum", 384_000, n -> lowNote(hz, starts, note, n));

    List<Moment> moments = inTime(stems.analyse(Settings.DEFAULT));

    // Thirteen windows of 0.25 and three of at most 1.05: A is 0.40 at the most, T 0.45.
    assertEquals(starts.length, moments.size());
    double halfCycle = FS / hz / 2;
    for (int i = 0; i < starts.length; i++) {
      Moment moment = moments.get(i);
      assertTrue(moment.firstOver() >= starts[i]);
      assertTrue(moment.firstOver() < starts[i] + halfCycle);
      assertTrue(moment.lastOver() < starts[i] + note);
      assertTrue(moment.lastOver() > starts[i] + note - halfCycle);
      assertTrue(moment.isLong(), "200 ms");
      assertEquals(1, moment.contributions().get(0).stem());
    }
  }

  private static double lowNote(double hz, int[] starts, int frames, long n) {
    for (int start : starts) {
      if (n >= start && n < start + frames) {
        return 0.8 * Math.sin(2 * Math.PI * hz * (n - start) / FS);
      }
    }
    return 0;
  }

  @Test
  void spikesOfThreeSamplesAreFoundWithTheStemsThatMadeThem() {
    // Four beats at 120 a minute are 96000 frames; kick and surdo meet there, whistle and surdo in
    // between, two beats later; all of it a quarter of a second late, so that no spike lies on the
    // edge of a window. The frames are multiples of 480, where the bed of 0.4 passes through 0.
    int frames = 960_000;
    ArrayStems stems =
        new ArrayStems(FS)
            .mono("bed", frames, n -> 0.4 * Math.sin(2 * Math.PI * n / 480.0))
            .mono("kick", frames, n -> spike(n, 96_000, 0, 0.32))
            .mono("surdo", frames, n -> spike(n, 48_000, 0, 0.3))
            .mono("whistle", frames, n -> spike(n, 96_000, 48_000, 0.31));

    Pass pass = stems.analyse(Settings.DEFAULT);

    // Every other window of half a second (24000 frames) but the first holds a spike, nineteen of
    // forty. Ten of them are 0.61 high, nine 0.62.
    double averagePeak = (21 * 0.4 + 10 * 0.61 + 9 * 0.62) / 40;
    assertEquals(averagePeak, pass.line().averagePeak().overall(), 1e-12);
    List<Moment> moments = inTime(pass);
    assertEquals(19, moments.size());
    for (int i = 0; i < 19; i++) {
      Moment moment = moments.get(i);
      long beat = 12_000 + 48_000L * (i + 1);
      assertEquals(beat, moment.peakFrame());
      assertEquals(beat - 1, moment.firstOver());
      assertEquals(beat + 1, moment.lastOver());
      assertEquals(3, moment.longestRun());
      assertTrue(moment.excessDb() >= 1.6, "excess " + moment.excessDb());
      assertEquals(2, moment.depth());
      Set<Integer> makers =
          moment.makingUp().stream().map(Contribution::stem).collect(Collectors.toSet());
      assertEquals(i % 2 == 0 ? Set.of(2, 3) : Set.of(1, 2), makers);
    }
  }

  @Test
  void rareSpikesTwoDecibelsAndMoreAboveTheAveragePeakRankFirst() {
    // Kick and surdo meet once in eight beats, 192000 frames, and the shaker clicks in between:
    // four and five of forty windows, so A = 0.437 and 0.62 is 3.0 dB above.
    int frames = 960_000;
    ArrayStems stems =
        new ArrayStems(FS)
            .mono("bed", frames, n -> 0.4 * Math.sin(2 * Math.PI * n / 480.0))
            .mono("kick", frames, n -> spike(n, 192_000, 0, 0.32))
            .mono("surdo", frames, n -> spike(n, 192_000, 0, 0.3))
            .mono("shaker", frames, n -> spike(n, 192_000, 96_000, 0.52));

    List<Moment> moments = stems.analyse(Settings.DEFAULT).moments();

    double averagePeak = (31 * 0.4 + 4 * 0.62 + 5 * 0.52) / 40;
    assertEquals(9, moments.size());
    assertEquals(
        List.of(204_000L, 396_000L, 588_000L, 780_000L),
        moments.subList(0, 4).stream().map(Moment::peakFrame).sorted().toList());
    for (Moment moment : moments) {
      boolean collision = moment.rank() <= 4;
      assertEquals(collision ? 2 : 1, moment.depth());
      double peak = collision ? 0.62 : 0.52;
      assertEquals(20 * Math.log10(peak / averagePeak), moment.excessDb(), 1e-9);
    }
    assertTrue(moments.get(3).excessDb() > 2);
  }

  /** Three samples, the middle highest, about 0.25 s past each multiple of the period but 0. */
  private static double spike(long n, int period, int shift, double height) {
    long at = Math.floorMod(n - 12_000 - shift + 1, (long) period);
    if (at > 2 || n < 24_000) {
      return 0;
    }
    return at == 1 ? height : 0.95 * height;
  }

  /** Verse, louder verse, chorus of 30 s each at 8 kHz, with a click in the middle of each. */
  private static ArrayStems threeSections() {
    double[] levels = {0.125, 0.25, 0.5};
    return new ArrayStems(8_000)
        .mono(
            "band",
            720_000,
            n -> levels[(int) (n / 240_000)] * (n % 80 < 40 ? 1 : -1) * (n % 40 == 20 ? 1 : 0.5))
        .mono("shaker", 720_000, n -> n % 240_000 == 120_020 ? levels[(int) (n / 240_000)] : 0);
  }

  @Test
  void theLoudPartIsTheChorusAndOnlyItsClickIsListed() {
    Pass pass = threeSections().analyse(Settings.DEFAULT);
    // The window that holds the click, 60 of them: (59 · 0.5 + 1) / 60.
    assertEquals(new TimeRange(480_000, 720_000), pass.line().loudPart());
    assertEquals(30.5 / 60, pass.line().averagePeak().overall(), 1e-15);
    assertEquals(List.of(600_020L), inTime(pass).stream().map(Moment::peakFrame).toList());
  }

  @Test
  void againstTheSongTheWholeChorusIsOver() {
    Pass pass = threeSections().analyse(Settings.DEFAULT.withBaseline(Baseline.SONG));
    // (60 · 0.125 + 60 · 0.25 + 60 · 0.5 + the clicks' 0.875) / 180 = 0.296, plus 1 dB 0.333; the
    // click of the louder verse is 0.5 high, that of the verse 0.25.
    assertEquals(53.375 / 180, pass.line().averagePeak().overall(), 1e-15);
    List<Moment> moments = inTime(pass);
    assertEquals(List.of(360_020L, 600_020L), moments.stream().map(Moment::peakFrame).toList());
    assertEquals(false, moments.get(0).isLong());
    assertEquals(true, moments.get(1).isLong());
    assertEquals(480_020, moments.get(1).firstOver());
    assertEquals(719_980, moments.get(1).lastOver());
  }

  @Test
  void againstItsOwnSectionEveryClickIsListed() {
    Settings settings = Settings.DEFAULT.withBaseline(Baseline.LOCAL).withLine(new Line.Margin(4));
    Pass pass = threeSections().analyse(settings);
    // 4 dB is more than what the first windows of a louder section rise above the 33 about them:
    // 17 of them louder by 2 and 16 not, 33/(17 + 16/2) = 1.32 or 2.4 dB.
    List<Moment> moments = inTime(pass);
    assertEquals(
        List.of(120_020L, 360_020L, 600_020L), moments.stream().map(Moment::peakFrame).toList());
    for (int i = 0; i < 3; i++) {
      // Of 33 windows one holds the click.
      double own = 0.125 * (1 << i);
      assertEquals(own * 34 / 33, moments.get(i).averagePeak(), 1e-15);
      assertEquals(2 * own, moments.get(i).peak());
      assertEquals(20 * Math.log10(2 * 33 / 34.0), moments.get(i).excessDb(), 1e-9);
    }
    // Of equal excess, the earlier first, though its peak is the lowest.
    List<Integer> ranks = new ArrayList<>();
    moments.forEach(m -> ranks.add(m.rank()));
    assertEquals(List.of(1, 2, 3), ranks);
  }
}
