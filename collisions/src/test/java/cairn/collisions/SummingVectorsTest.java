package cairn.collisions;

import static cairn.collisions.Decibels.ofAmplitude;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.line.Baseline;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.Crew;
import cairn.collisions.signal.MixDown;
import cairn.collisions.time.TempoMap;
import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.function.LongToDoubleFunction;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * The worked examples of {@code summing-vectors.json}: closed forms, derived there, so every figure
 * here comes from outside the program. Tolerances as stated there: 1e-9 on linear values, 0.001 dB
 * on levels.
 */
class SummingVectorsTest {

  private static final double LINEAR = 1e-9;
  private static final double DB = 0.001;

  private static JsonNode vector(String id) {
    return Vectors.vector("summing-vectors.json", id);
  }

  private static ArrayStems cosines(JsonNode vector) {
    int fs = vector.get("sampleRate").asInt();
    ArrayStems stems = new ArrayStems(fs);
    for (JsonNode stem : vector.get("stems")) {
      double a = stem.get("amplitude").asDouble();
      double hz = stem.get("freqHz").asDouble();
      long crest = stem.get("crestFrame").asLong();
      stems.mono(
          hz + " Hz",
          vector.get("lengthFrames").asInt(),
          n -> a * Math.cos(2 * Math.PI * hz * (n - crest) / fs));
    }
    return stems;
  }

  private static double[][] bus(ArrayStems stems) throws IOException {
    int frames = (int) stems.session().frames();
    double[][] bus = Block.stereo(frames);
    try (MixDown mixDown = new MixDown(stems.session(), stems.openReader())) {
      mixDown.sum(0, frames, bus);
    }
    return bus;
  }

  private static double peak(double[][] bus) {
    return Math.max(Block.peak(bus[0], 0, bus[0].length), Block.peak(bus[1], 0, bus[1].length));
  }

  private static double rms(double[][] bus) {
    return Math.sqrt(Block.energy(bus, 0, bus[0].length) / (2.0 * bus[0].length));
  }

  @ParameterizedTest
  @ValueSource(ints = {2, 3, 4, 5, 8})
  void harmonicsCrestTogether(int count) throws IOException {
    JsonNode vector = vector("harmonic-crests-" + count);
    JsonNode expect = vector.get("expect");
    ArrayStems stems = cosines(vector);
    double busPeak = expect.get("busPeak").asDouble();

    Pass pass =
        stems.analyse(Settings.DEFAULT.withLine(new Line.Level(ofAmplitude(busPeak) - 0.001)));

    assertEquals(busPeak, pass.peak(), LINEAR);
    assertEquals(expect.get("busPeakDbfs").asDouble(), ofAmplitude(pass.peak()), DB);
    assertEquals(expect.get("firstMaxFrame").asLong(), pass.summary().peakFrame());
    for (StemFigures stem : pass.stems()) {
      assertEquals(expect.get("singleStemPeak").asDouble(), stem.peak(), LINEAR);
      assertEquals(
          expect.get("aboveSingleStemDb").asDouble(), ofAmplitude(pass.peak() / stem.peak()), DB);
    }
    // Crests 480 frames apart link up, since 35 ms are 1680 frames: one moment, a long one.
    assertEquals(1, pass.moments().size());
    Moment moment = pass.moments().get(0);
    assertTrue(moment.isLong());
    assertEquals(expect.get("firstMaxFrame").asLong(), moment.peakFrame());
    assertEquals(count, moment.depth(), "the line is just under the sum of all");
    for (Contribution contribution : moment.contributions()) {
      assertEquals(expect.get("contributionEach").asDouble(), contribution.share(), LINEAR);
    }

    double[][] bus = bus(stems);
    assertEquals(expect.get("busRms").asDouble(), rms(bus), LINEAR);
    assertEquals(expect.get("busCrestFactorDb").asDouble(), ofAmplitude(peak(bus) / rms(bus)), DB);
    List<Integer> maxima = maxima(bus, busPeak);
    assertEquals(expect.get("maximaCount").asInt(), maxima.size());
    for (int i = 0; i < expect.get("maximaFrames").size(); i++) {
      assertEquals(expect.get("maximaFrames").get(i).asInt(), maxima.get(i));
    }
    assertEquals(expect.get("periodFrames").asInt(), maxima.get(7) - maxima.get(6));
  }

  private static List<Integer> maxima(double[][] bus, double peak) {
    double[] p = new double[bus[0].length];
    Block.levels(p, bus, 0, p.length);
    List<Integer> frames = new ArrayList<>();
    for (int n = 0; n < p.length; n++) {
      if (p[n] > peak - LINEAR) {
        frames.add(n);
      }
    }
    return frames;
  }

  @Test
  void aBeatOfTwoTonesCrestsOnce() throws IOException {
    JsonNode vector = vector("beat-100-101");
    JsonNode expect = vector.get("expect");
    ArrayStems stems = cosines(vector);
    // Windows of 480 frames: 64th notes at 375 quarters a minute.
    assertEquals(480, expect.get("windowFrames").asInt());
    Settings settings =
        Settings.DEFAULT.withBeatWindows(new TempoMap(375, 4, 64, 0)).withBaseline(Baseline.SONG);

    Pass pass = stems.analyse(settings);

    double[] windows = pass.summary().windowPeaks();
    assertEquals(100, windows.length);
    double mean = 0;
    for (double w : windows) {
      mean += w / windows.length;
    }
    assertEquals(expect.get("meanOfWindowPeaks").asDouble(), mean, LINEAR);
    assertEquals(
        expect.get("peakAboveMeanOfWindowPeaksDb").asDouble(), ofAmplitude(pass.peak() / mean), DB);
    assertEquals(expect.get("busPeak").asDouble(), pass.peak(), LINEAR);
    assertEquals(0, pass.summary().peakFrame());
    double[][] bus = bus(stems);
    assertEquals(List.of(0), maxima(bus, expect.get("busPeak").asDouble()));
    assertEquals(expect.get("busRms").asDouble(), rms(bus), LINEAR);
  }

  private static ArrayStems impulseTrains(JsonNode vector) {
    ArrayStems stems = new ArrayStems(vector.get("sampleRate").asInt());
    for (JsonNode stem : vector.get("stems")) {
      int period = stem.get("periodFrames").asInt();
      double a = stem.get("amplitude").asDouble();
      assertEquals(0, stem.get("firstFrame").asInt());
      stems.mono(
          "every " + period, vector.get("lengthFrames").asInt(), n -> n % period == 0 ? a : 0);
    }
    return stems;
  }

  private static List<Moment> inTime(Pass pass) {
    return pass.moments().stream().sorted(Comparator.comparingLong(Moment::peakFrame)).toList();
  }

  /** Events are at least 2400 frames apart, farther than 35 ms (1680 frames): none link up. */
  @ParameterizedTest
  @CsvSource({"-14, 22", "-9, 8", "-4, 1"})
  void impulseTrainsMeetExactlyWhereTheirPeriodsDo(double lineDb, int moments) {
    JsonNode vector = vector("impulse-trains-lcm");
    Pass pass = impulseTrains(vector).analyse(Settings.DEFAULT.withLine(new Line.Level(lineDb)));
    assertEquals(moments, pass.moments().size());
    assertTrue(pass.moments().stream().allMatch(m -> m.overFrames() == 1 && m.longestRun() == 1));
  }

  @Test
  void impulseTrainsAreExplainedToTheStem() {
    JsonNode vector = vector("impulse-trains-lcm");
    JsonNode expect = vector.get("expect");
    ArrayStems stems = impulseTrains(vector);

    List<Moment> all = inTime(stems.analyse(Settings.DEFAULT.withLine(new Line.Level(-14))));
    assertEquals(expect.get("events").asInt(), all.size());
    assertEquals(expect.get("singles").asInt(), all.stream().filter(m -> m.peak() == 0.25).count());
    assertTrue(all.stream().allMatch(Moment::isLone), "a quarter passes -14 dBFS alone");
    double mean = all.stream().mapToDouble(Moment::peak).sum() / all.size();
    assertEquals(expect.get("meanEventPeakValue").asDouble(), mean, LINEAR);
    assertEquals(expect.get("tripleAboveMeanDb").asDouble(), ofAmplitude(0.75 / mean), DB);
    assertEquals(expect.get("pairAboveMeanDb").asDouble(), ofAmplitude(0.5 / mean), DB);
    assertEquals(expect.get("singleAboveMeanDb").asDouble(), ofAmplitude(0.25 / mean), DB);

    // At -9 dBFS (0.355) no stem passes alone; at -4 dBFS (0.631) the average peak counts, which is
    // (0.75 + 0.5 + 0.5) / 3 = 0.583 of three windows: it takes all three.
    List<Moment> met = inTime(stems.analyse(Settings.DEFAULT.withLine(new Line.Level(-9))));
    assertEquals(expect.get("tripleFrames").get(0).asLong(), met.get(0).peakFrame());
    for (int i = 0; i < expect.get("pairFrames").size(); i++) {
      Moment pair = met.get(i + 1);
      assertEquals(expect.get("pairFrames").get(i).asLong(), pair.peakFrame());
      assertEquals(2, pair.depth());
      assertEquals(
          StreamSupport.stream(expect.get("pairStems").get(i).spliterator(), false)
              .map(JsonNode::asInt)
              .toList(),
          pair.makingUp().stream().map(Contribution::stem).toList());
    }
    Moment triple = stems.analyse(Settings.DEFAULT.withLine(new Line.Level(-4))).moments().get(0);
    assertEquals(3, triple.depth());
    assertEquals(expect.get("tripleFrames").get(0).asLong(), triple.peakFrame());
  }

  @Test
  void sharesAreSignedAndMayPassOne() {
    JsonNode vector = vector("signed-contributions");
    ArrayStems stems = new ArrayStems(48_000);
    for (JsonNode value : vector.get("stemValues")) {
      double x = value.asDouble();
      stems.mono("stem " + x, 1_000, n -> n == 500 ? x : 0);
    }

    Moment moment = stems.analyse(Settings.DEFAULT.withLine(new Line.Level(-6))).moments().get(0);

    assertEquals(vector.get("bus").asDouble(), moment.peak(), LINEAR);
    for (Contribution contribution : moment.contributions()) {
      int k = contribution.stem();
      assertEquals(vector.get("stemValues").get(k).asDouble(), contribution.amplitude(), LINEAR);
      assertEquals(vector.get("shares").get(k).asDouble(), contribution.share(), LINEAR);
      assertEquals(
          vector.get("busWithoutStemDbChange").get(k).asDouble(),
          ofAmplitude(contribution.peakWithout() / moment.peak()),
          DB);
    }
    assertTrue(moment.contributions().get(2).eases());
  }

  @Test
  void stemsThatCancelAreAClearErrorAndNoDivisionByZero() {
    JsonNode vector = vector("polarity-null");
    double x = vector.get("stemValues").get(0).asDouble();
    ArrayStems stems =
        new ArrayStems(48_000)
            .mono("horn", 1_000, n -> x * Math.sin(n * 0.1))
            .mono("horn reversed", 1_000, n -> -x * Math.sin(n * 0.1));
    assertEquals(-x, vector.get("stemValues").get(1).asDouble());

    Unanalysable.Silent silent =
        assertThrows(
            Unanalysable.Silent.class,
            () ->
                new Analysis(stems.session(), stems, Crew.ALONE, Progress.NONE)
                    .run(Settings.DEFAULT));
    assertEquals(new TimeRange(0, 1_000), silent.range());
    assertEquals(
        Double.NEGATIVE_INFINITY, ofAmplitude(vector.get("bus").asDouble()), "minus infinity");
  }

  @Test
  void equalStemsAddTwentyLogNAndUnrelatedOnesTenLogN() throws IOException {
    for (JsonNode row : vector("coherent-vs-incoherent").get("table")) {
      int count = row.get("n").asInt();
      ArrayStems equal = new ArrayStems(48_000);
      ArrayStems unrelated = new ArrayStems(48_000);
      for (int k = 1; k <= count; k++) {
        double turn = 2 * Math.PI * k / 480;
        equal.mono("stem " + k, 480, n -> 0.1 * Math.sin(2 * Math.PI * n / 480));
        // Tones of different whole numbers of periods are orthogonal: no correlation at all.
        unrelated.mono("tone " + k, 480, n -> 0.1 * Math.sin(turn * n));
      }
      assertEquals(row.get("coherentDb").asDouble(), ofAmplitude(peak(bus(equal)) / 0.1), DB);
      assertEquals(
          row.get("incoherentDb").asDouble(),
          ofAmplitude(rms(bus(unrelated)) / (0.1 * Math.sqrt(0.5))),
          DB);
    }
  }

  @Test
  void samplePeaksBetweenSamplesAreNotSeenWithoutTruePeak() throws IOException {
    JsonNode vector = vector("intersample-coincidence");
    JsonNode expect = vector.get("expect");
    ArrayStems stems = new ArrayStems(vector.get("sampleRate").asInt());
    for (JsonNode stem : vector.get("stems")) {
      double turn = 2 * Math.PI * stem.get("freqHz").asDouble() / 48_000;
      double phase = Math.toRadians(stem.get("phaseDeg").asDouble());
      double a = stem.get("amplitude").asDouble();
      stems.mono("tone", 48_000, n -> a * Math.sin(turn * n + phase));
    }
    assertEquals(expect.get("busSamplePeakDbfs").asDouble(), ofAmplitude(peak(bus(stems))), DB);
    Pass pass = stems.analyse(Settings.DEFAULT);
    for (StemFigures stem : pass.stems()) {
      assertEquals(expect.get("stemSamplePeakDbfs").asDouble(), ofAmplitude(stem.peak()), DB);
    }
  }

  @Test
  void integerCodesHaveTheirSamplePeak() {
    JsonNode table = vector("dbfs-conventions").get("table");
    double[] peaks = {1, 1, 0.5, 32_767 / 32_768.0, 1, 8_388_607 / 8_388_608.0};
    assertEquals(peaks.length, table.size());
    for (int i = 0; i < peaks.length; i++) {
      // Codes are told to 1e-6 dB and better.
      assertEquals(
          table.get(i).get("samplePeakDbfs").asDouble(),
          ofAmplitude(peaks[i]),
          i == 2 ? DB : 1e-6,
          table.get(i).get("signal").asText());
    }
  }

  @Test
  void schroederPhasesLowerTheCrestOfASumOfHarmonics() throws IOException {
    int period = 65_536;
    for (JsonNode row : vector("schroeder-phase").get("table")) {
      int count = row.get("n").asInt();
      assertEquals(
          row.get("zeroPhaseCrest").asDouble(), crest(count, period, false), 1e-5, "N=" + count);
      // Given there to five digits.
      assertEquals(
          row.get("schroederCrest").asDouble(), crest(count, period, true), 1e-5, "N=" + count);
    }
  }

  private static double crest(int count, int period, boolean schroeder) throws IOException {
    double[] cosine = new double[period];
    for (int n = 0; n < period; n++) {
      cosine[n] = Math.cos(2 * Math.PI * n / period);
    }
    ArrayStems stems = new ArrayStems(48_000);
    for (int k = 1; k <= count; k++) {
      // −π·k·(k − 1)/N in steps of the table: k·(k − 1)·period/(2·N), whole for these N.
      int steps = schroeder ? (int) ((long) k * (k - 1) * period / (2L * count) % period) : 0;
      int harmonic = k;
      stems.mono(
          "harmonic " + k, period, n -> cosine[(int) ((harmonic * n - steps + period) % period)]);
    }
    double[][] bus = bus(stems);
    return peak(bus) / rms(bus);
  }

  @Test
  void crestFactorsOfPlainWaves() throws IOException {
    JsonNode table = vector("crest-factors").get("table");
    assertEquals(
        table.get(0).get("db").asDouble(), crestDb(n -> Math.sin(2 * Math.PI * n / 4_800)), DB);
    assertEquals(table.get(1).get("db").asDouble(), crestDb(n -> n % 480 < 240 ? 1 : -1), DB);
    // A sawtooth in steps; the step to −1 is worth 0.0009 dB at 4800 steps.
    assertEquals(table.get(2).get("db").asDouble(), crestDb(n -> n % 4_800 / 2_399.5 - 1), 2 * DB);
    assertEquals(10 * Math.log10(480), crestDb(n -> n % 480 == 0 ? 1 : 0), DB, "every P frames");
  }

  private static double crestDb(LongToDoubleFunction wave) throws IOException {
    double[][] bus = bus(new ArrayStems(48_000).mono("wave", 48_000, wave));
    return ofAmplitude(peak(bus) / rms(bus));
  }
}
