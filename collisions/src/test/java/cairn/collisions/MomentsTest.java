package cairn.collisions;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.line.Line;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import org.junit.jupiter.api.Test;

/** definitions.md, 1 and 3, each rule at its edge. Impulses, so that every sum is told by hand. */
class MomentsTest {

  private static final int FS = 48_000;

  /** −12 dBFS, 0.251. */
  private static final Settings LOW = at(-12);

  private static Settings at(double lineDb) {
    return Settings.DEFAULT.withLine(new Line.Level(lineDb));
  }

  private static double[] impulses(int frames, double amplitude, int... at) {
    double[] x = new double[frames];
    for (int n : at) {
      x[n] = amplitude;
    }
    return x;
  }

  private static List<Moment> momentsOf(double... x) {
    return new ArrayStems(FS).mono("stem", x).analyse(LOW).moments();
  }

  private static Moment only(List<Moment> moments) {
    assertEquals(1, moments.size());
    return moments.get(0);
  }

  @Test
  void aFrameAtTheLineIsNotOver() {
    double line = Decibels.toFactor(-12);
    assertTrue(momentsOf(impulses(1_000, line, 500)).isEmpty());
    assertEquals(500, only(momentsOf(impulses(1_000, Math.nextUp(line), 500))).peakFrame());
  }

  @Test
  void aDistanceOfThirtyFiveMillisecondsJoinsAndOneFrameMoreDoesNot() {
    Moment joined = only(momentsOf(impulses(20_000, 0.5, 10_000, 11_680)));
    assertEquals(10_000, joined.firstOver());
    assertEquals(11_680, joined.lastOver());
    assertEquals(2, joined.overFrames());
    assertEquals(1, joined.longestRun());
    assertEquals(2, momentsOf(impulses(20_000, 0.5, 10_000, 11_681)).size());
  }

  @Test
  void aMomentIsJoinedAcrossTheBordersOfTheWorkersTasks() throws IOException, Unanalysable {
    // At 384 kHz 35 ms are 13440 frames, more than what lies between two stretches that are read
    // apart: 64000 and 77440 meet, 90881 is one too far.
    int[] at = {64_000, 77_440, 90_881, 300_000};
    ArrayStems stems = new ArrayStems(384_000).mono("stem", impulses(384_000, 0.5, at));
    for (int workers : new int[] {1, 2, 5}) {
      Crew crew = new Crew(Runnable::run, workers);
      List<Moment> moments =
          new Analysis(stems.session(), stems, crew, Progress.NONE).run(LOW).moments();
      assertEquals(3, moments.size(), "workers " + workers);
      assertEquals(64_000, moments.get(0).firstOver());
      assertEquals(77_440, moments.get(0).lastOver());
      assertEquals(90_881, moments.get(1).firstOver());
    }
  }

  @Test
  void moreThanAHundredMillisecondsAreLong() {
    // Frames 0 and 4799 span 4800 frames, that is 100 ms.
    assertFalse(only(momentsOf(impulses(9_000, 0.5, 0, 1_600, 3_200, 4_799))).isLong());
    assertTrue(only(momentsOf(impulses(9_000, 0.5, 0, 1_600, 3_200, 4_800))).isLong());
  }

  @Test
  void aRunGoesOnOverTheEdgesOfWindowsAndReads() {
    // Over from 23000 to 46999: windows end at 24000, reads of 8192 frames in between.
    double[] x = new double[72_000];
    for (int n = 23_000; n < 47_000; n++) {
      x[n] = n % 2 == 0 ? 0.5 : -0.5;
    }
    x[60_000] = 0.4;
    List<Moment> moments = momentsOf(x);
    assertEquals(24_000, moments.get(0).longestRun());
    assertEquals(24_000, moments.get(0).overFrames());
    assertEquals(23_000, moments.get(0).peakFrame(), "the first maximum");
    assertEquals(46_999, moments.get(0).lastOver());
    assertEquals(2, moments.size());
  }

  @Test
  void theLongestRunIsNeitherTheFirstNorTheLast() {
    double[] x = new double[2_000];
    for (int n : new int[] {100, 101, 200, 201, 202, 203, 300, 301, 302}) {
      x[n] = 0.5;
    }
    assertEquals(4, only(momentsOf(x)).longestRun());
    assertEquals(9, only(momentsOf(x)).overFrames());
  }

  @Test
  void theFirstOfEqualMaximaIsThePeak() {
    double[] x = impulses(2_000, 0.5, 300, 600, 900);
    x[100] = 0.4;
    assertEquals(300, only(momentsOf(x)).peakFrame());
  }

  @Test
  void aNegativePeakCountsAsMuchAndItsContributionsArePositive() {
    ArrayStems stems =
        new ArrayStems(FS)
            .mono("tuba", impulses(1_000, -0.5, 400))
            .mono("cymbals", impulses(1_000, -0.25, 400))
            .mono("whistle", impulses(1_000, 0.125, 400));
    Moment moment = only(stems.analyse(LOW).moments());
    assertEquals(0.625, moment.peak());
    assertEquals(
        List.of(0.5, 0.25, -0.125),
        moment.contributions().stream().map(Contribution::amplitude).toList());
    assertEquals(-0.2, moment.contributions().get(2).share());
    assertTrue(moment.contributions().get(2).eases());
    assertEquals(2, moment.leading().size());
  }

  @Test
  void theChannelIsThatOfTheMaximumAndLeftOnATie() {
    assertEquals(1, stereo(0.5, 0.75).channel());
    assertEquals(0, stereo(0.75, 0.5).channel());
    assertEquals(0, stereo(-0.75, 0.75).channel());
    assertEquals(0.75, stereo(-0.75, 0.75).contributions().get(0).amplitude());
  }

  private static Moment stereo(double left, double right) {
    double[][] x = {impulses(1_000, left, 500), impulses(1_000, right, 500)};
    return only(new ArrayStems(FS).stem("stem", x).analyse(LOW).moments());
  }

  @Test
  void stemsOnDifferentChannelsDoNotAdd() {
    double[] silence = new double[1_000];
    ArrayStems stems =
        new ArrayStems(FS)
            .stem("left horn", new double[][] {impulses(1_000, 0.375, 500), silence})
            .stem("right horn", new double[][] {silence, impulses(1_000, 0.5, 500)})
            .mono("kick", impulses(1_000, 0.25, 500));
    Moment moment = only(stems.analyse(LOW).moments());
    assertEquals(0.75, moment.peak());
    assertEquals(1, moment.channel());
    assertEquals(
        List.of(1, 2, 0), moment.contributions().stream().map(Contribution::stem).toList());
    assertEquals(0, moment.contributions().get(2).amplitude());
  }

  @Test
  void equalContributionsKeepStemOrder() {
    ArrayStems stems = new ArrayStems(FS);
    for (int k = 0; k < 4; k++) {
      stems.mono("stem " + k, impulses(1_000, k == 2 ? 0.5 : 0.25, 500));
    }
    assertEquals(
        List.of(2, 0, 1, 3),
        only(stems.analyse(LOW).moments()).contributions().stream()
            .map(Contribution::stem)
            .toList());
  }

  @Test
  void aTenthOfThePeakLeads() {
    // 7/8 and 1/8 of the peak, then 31/32 and 1/32.
    ArrayStems stems =
        new ArrayStems(FS)
            .mono("kick", impulses(9_000, 0.875, 1_000, 5_000))
            .mono("shaker", impulses(9_000, 0.125, 1_000));
    Pass pass = stems.analyse(LOW);
    assertEquals(2, pass.moments().get(0).leading().size());
    assertEquals(1, pass.moments().get(1).leading().size());
    assertEquals(2, pass.stems().get(0).moments());
    assertEquals(2, pass.stems().get(0).loneMoments());
    assertEquals(1, pass.stems().get(1).moments());
    assertEquals(0, pass.stems().get(1).loneMoments());
  }

  @Test
  void nearIsThirtyFiveMillisecondsAndWithoutIsTheSpan() {
    // The kick's louder hit lies 1680 frames after the peak, then 1681; the surdo makes the span
    // 500 to 600.
    double[] kick = impulses(4_000, 0.125, 500);
    kick[500 + 1_680] = -0.1875;
    kick[500 + 1_681] = 0.25;
    double[] surdo = impulses(4_000, 0.5, 500);
    surdo[600] = -0.375;
    surdo[601] = -0.25;
    Moment moment =
        only(new ArrayStems(FS).mono("kick", kick).mono("surdo", surdo).analyse(LOW).moments());
    assertEquals(500, moment.firstOver());
    assertEquals(600, moment.lastOver());
    Contribution ofSurdo = moment.contributions().get(0);
    Contribution ofKick = moment.contributions().get(1);
    assertEquals(0.1875, ofKick.levelNear());
    assertEquals(0.5, ofSurdo.levelNear());
    assertEquals(0.5, ofKick.peakWithout());
    assertEquals(0.125, ofSurdo.peakWithout());
  }

  @Test
  void rankIsByExcessThenByTime() {
    double[] x = impulses(40_000, 0.5, 5_000, 35_000);
    x[15_000] = 0.75;
    x[25_000] = 0.4;
    List<Moment> moments = momentsOf(x);
    assertEquals(
        List.of(15_000L, 5_000L, 35_000L, 25_000L),
        moments.stream().map(Moment::peakFrame).toList());
    assertEquals(List.of(1, 2, 3, 4), moments.stream().map(Moment::rank).toList());
  }

  @Test
  void aStemOfOneFrameIsASong() {
    Pass pass = new ArrayStems(FS).mono("click", 0.5).analyse(LOW);
    assertEquals(0.5, pass.line().averagePeak().overall());
    Moment moment = only(pass.moments());
    assertEquals(0, moment.firstOver());
    assertEquals(0, moment.lastOver());
    assertEquals(0, moment.excessDb());
    assertTrue(
        new ArrayStems(FS).mono("click", 0.5).analyse(Settings.DEFAULT).moments().isEmpty(),
        "nothing stands above its own average peak");
  }

  @Test
  void aSilentStemIsListedWithNothing() {
    ArrayStems stems =
        new ArrayStems(FS).mono("kick", impulses(1_000, 0.5, 500)).mono("choir", 1_000, n -> 0);
    Pass pass = stems.analyse(LOW);
    assertTrue(pass.stems().get(1).averagePeak().isEmpty());
    assertEquals(0, pass.stems().get(1).peak());
    assertEquals(new Contribution(1, 0, 0, 0, 0.5), only(pass.moments()).contributions().get(1));
  }

  @Test
  void figuresOfAStemLeaveMuteAndSoloAside() {
    ArrayStems stems =
        new ArrayStems(FS)
            .mono("kick", impulses(48_000, 0.5, 500, 30_000))
            .mono("surdo", impulses(48_000, 0.25, 500, 30_000));
    Session unity = stems.session();
    Session session =
        new Session(
            FS,
            0,
            unity.stems(),
            List.of(Fader.UNITY, Fader.UNITY.withMuted(true).withGainDb(-20)));
    Pass pass = stems.analyse(session, LOW);
    assertEquals(0.5, pass.peak());
    // A tenth of 0.25, to one rounding.
    assertEquals(0.025, pass.stems().get(1).averagePeak().getAsDouble(), 1e-16);
    assertEquals(0, pass.moments().get(0).contributions().get(1).amplitude());
    assertEquals(0, pass.moments().get(0).contributions().get(1).levelNear());
  }

  @Test
  void levelsAboveFullScaleAreKept() {
    ArrayStems stems =
        new ArrayStems(FS)
            .mono("kick", impulses(1_000, 2, 500))
            .mono("surdo", impulses(1_000, 1.5, 500));
    Pass pass = stems.analyse(LOW);
    assertEquals(3.5, pass.peak());
    assertEquals(3.5, only(pass.moments()).peak());
  }

  @Test
  void whatAnOffsetPushesBeforeTheStartIsLeftOut() {
    ArrayStems stems = new ArrayStems(FS).mono("kick", impulses(9_000, 0.5, 100, 6_000));
    Session unity = stems.session();
    Session early = new Session(FS, 0, unity.stems(), List.of(Fader.UNITY.withOffset(-101)));
    assertEquals(5_899, only(stems.analyse(early, LOW).moments()).peakFrame());
    Session gone = new Session(FS, 0, unity.stems(), List.of(Fader.UNITY.withOffset(-9_000)));
    assertThrows(Unanalysable.Silent.class, () -> run(stems, gone, LOW));
    Session late = new Session(FS, 0, unity.stems(), List.of(Fader.UNITY.withOffset(7)));
    assertEquals(
        List.of(107L, 6_007L),
        stems.analyse(late, LOW).moments().stream().map(Moment::peakFrame).toList());
  }

  @Test
  void theMonoGainTakesFromMonoStemsOnly() {
    double[] x = impulses(1_000, 0.5, 500);
    ArrayStems stems = new ArrayStems(FS).mono("kick", x).stem("choir", new double[][] {x, x});
    Session unity = stems.session();
    Session session = new Session(FS, -3, unity.stems(), unity.faders());
    Moment moment = only(stems.analyse(session, LOW).moments());
    assertEquals(1, moment.contributions().get(0).stem());
    assertEquals(0.5, moment.contributions().get(0).amplitude());
    assertEquals(0.5 * Math.pow(10, -3 / 20.0), moment.contributions().get(1).amplitude());
  }

  private static Pass run(ArrayStems stems, Session session, Settings settings)
      throws IOException, Unanalysable {
    return new Analysis(session, stems, Crew.ALONE, Progress.NONE).run(settings);
  }

  @Test
  void aRangeKeepsFrameNumbersAndSeesNothingOutside() throws IOException, Unanalysable {
    ArrayStems stems =
        new ArrayStems(FS).mono("kick", impulses(9_000, 0.5, 1_000, 2_000, 3_000, 4_000));
    Pass pass = run(stems, stems.session(), LOW.withRange(new TimeRange(2_000, 4_000)));
    Moment moment = only(pass.moments());
    assertEquals(2_000, moment.firstOver());
    assertEquals(3_000, moment.lastOver());
    assertEquals(new TimeRange(2_000, 4_000), pass.range());
    Pass open = run(stems, stems.session(), LOW.withRange(new TimeRange(3_500, 1_000_000)));
    assertEquals(new TimeRange(3_500, 9_000), open.range());
    assertEquals(4_000, only(open.moments()).peakFrame());
  }

  @Test
  void aNamedSectionGivesTheAveragePeak() throws IOException, Unanalysable {
    // Window peaks 0.25, 0.5, 0.75, 1; the section holds the two in the middle.
    double[] x = new double[96_000];
    for (int j = 0; j < 4; j++) {
      x[j * 24_000 + 7] = 0.25 * (j + 1);
    }
    ArrayStems stems = new ArrayStems(FS).mono("kick", x);
    TimeRange section = new TimeRange(20_000, 75_000);
    Pass pass = run(stems, stems.session(), Settings.DEFAULT.withSection(section));
    assertEquals(0.625, pass.line().averagePeak().overall());
    assertEquals(new TimeRange(24_000, 72_000), pass.line().loudPart());
    // The line of the section is that of the whole song: 0.625 + 1 dB = 0.70.
    assertEquals(
        List.of(72_007L, 48_007L), pass.moments().stream().map(Moment::peakFrame).toList());
  }

  @Test
  void silenceIsAClearErrorThatNamesItsPlace() {
    double[] x = impulses(96_000, 0.5, 90_000);
    ArrayStems stems = new ArrayStems(FS).mono("kick", x).mono("choir", 1_000, n -> 0);
    Session unity = stems.session();
    List<Fader> muted = Collections.nCopies(2, Fader.UNITY.withMuted(true));
    List<Fader> silentSolo = List.of(Fader.UNITY, Fader.UNITY.withSoloed(true));
    for (List<Fader> faders : List.of(muted, silentSolo)) {
      Session session = new Session(FS, 0, unity.stems(), faders);
      assertEquals(
          new TimeRange(0, 96_000),
          assertThrows(Unanalysable.Silent.class, () -> run(stems, session, LOW)).range());
    }
    TimeRange section = new TimeRange(0, 48_000);
    assertEquals(
        "the bus is silent from sample 0 to sample 48000 (never above -70 dBFS): no average peak;"
            + " look at mutes, solos and the range",
        assertThrows(Unanalysable.Silent.class, () -> run(stems, unity, LOW.withSection(section)))
            .getMessage());
  }

  @Test
  void rangesAndSectionsOutsideAreNamed() {
    ArrayStems stems = new ArrayStems(FS).mono("kick", impulses(9_000, 0.5, 100));
    assertEquals(
        "the range from sample 9000 to sample 9001 lies outside of what there is, from sample 0 to"
            + " sample 9000",
        outside(stems, LOW.withRange(new TimeRange(9_000, 9_001))));
    Settings range = LOW.withRange(new TimeRange(50, 5_000));
    assertEquals(
        "the section from sample 0 to sample 50 lies outside of what there is, from sample 50 to"
            + " sample 5000",
        outside(stems, range.withSection(new TimeRange(0, 50))));
    assertEquals(
        "the section from sample 5000 to sample 6000 lies outside of what there is, from sample 50"
            + " to sample 5000",
        outside(stems, range.withSection(new TimeRange(5_000, 6_000))));
  }

  private static String outside(ArrayStems stems, Settings settings) {
    return assertThrows(Unanalysable.Outside.class, () -> run(stems, stems.session(), settings))
        .getMessage();
  }

  @Test
  void anotherLineIsCountedWithoutAnotherPass() throws IOException {
    double[] x = impulses(40_000, 0.5, 5_000, 35_000);
    x[15_000] = 0.75;
    x[25_000] = 0.4;
    ArrayStems stems = new ArrayStems(FS).mono("kick", x);
    Pass pass = stems.analyse(LOW);
    Analysis analysis = new Analysis(stems.session(), stems, Crew.ALONE, Progress.NONE);
    assertEquals(4, analysis.count(pass, new Line.Level(-12)));
    assertEquals(3, analysis.count(pass, new Line.Level(-7)));
    assertEquals(1, analysis.count(pass, new Line.Level(-6)), "0.501");
    assertEquals(0, analysis.count(pass, new Line.Level(0)));
    // A is the mean of 0.75 and 0.5: 0.625, so that 1 dB above is 0.70.
    assertEquals(1, analysis.count(pass, new Line.Margin(1)));
  }

  @Test
  void aLineWithMoreMomentsThanCanBeExplainedIsRefusedWithTheirPeaks() {
    // A thousand stems leave room for a thousand moments. At 100 Hz 35 ms are 4 frames.
    double[] x = new double[5 * 1_001];
    for (int n = 0; n < x.length; n += 5) {
      x[n] = 0.5;
    }
    double[][] silence = {new double[1]};
    ArrayStems stems = new ArrayStems(100).mono("kick", x);
    for (int k = 1; k < 1_000; k++) {
      stems.stem("silent " + k, silence);
    }
    Unanalysable.TooManyMoments refused =
        assertThrows(Unanalysable.TooManyMoments.class, () -> run(stems, stems.session(), LOW));
    assertEquals(Collections.nCopies(1_001, 0.5), refused.peaks());
    assertEquals("the line lies inside the music: 1001 moments are over it", refused.getMessage());
  }

  @Test
  void brokenArgumentsSayWhich() {
    List<String> messages = new ArrayList<>();
    Stem stem = new Stem("kick", 1, 1);
    List<Runnable> broken =
        List.of(
            () -> new Stem("kick", 3, 1),
            () -> new Stem("kick", 1, 0),
            () -> new TimeRange(-1, 4),
            () -> new TimeRange(4, 4),
            () -> Fader.UNITY.withGainDb(Double.NaN),
            () -> Session.atUnity(0, List.of(stem)),
            () -> Session.atUnity(FS, List.of()),
            () -> new Session(FS, 0, List.of(stem), List.of()),
            () -> new Session(FS, Double.POSITIVE_INFINITY, List.of(stem), List.of(Fader.UNITY)));
    for (Runnable runnable : broken) {
      messages.add(assertThrows(IllegalArgumentException.class, runnable::run).getMessage());
    }
    assertEquals(
        List.of(
            "channels must be 1 or 2: channels=3",
            "frames must be >= 1: frames=0",
            "firstFrame must be >= 0: firstFrame=-1",
            "endFrame must be > firstFrame: firstFrame=4, endFrame=4",
            "gainDb must be finite: gainDb=NaN",
            "sampleRateHz must be >= 1: sampleRateHz=0",
            "stems must not be empty",
            "stems and faders must be as many: stems=1, faders=0",
            "monoGainDb must be finite: monoGainDb=Infinity"),
        messages);
  }
}
