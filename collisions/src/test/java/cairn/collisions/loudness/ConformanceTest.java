package cairn.collisions.loudness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Vectors;
import com.fasterxml.jackson.databind.JsonNode;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.DoubleSummaryStatistics;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Every synthetic signal of EBU Tech 3341 V4, Table 1, and EBU Tech 3342 V4, Table 1, within the
 * tolerance of the standard; and beside it the reading of libebur128 1.2.6 (true peaks: of an
 * independent model of the filter), within 0.0002. Prints the table that DEVELOPERS.md keeps:
 * deviations from what the standard says, in LU and dB.
 */
class ConformanceTest {

  private static final String HEAD =
      "| case | what | readings | allowed | from | to |\n| --- | --- | --- | --- | --- | --- |";

  /** Deviations from what the standard says, by row of the table. */
  private static final Map<String, DoubleSummaryStatistics> TABLE = new LinkedHashMap<>();

  private static final Map<String, Double> READINGS = readings();

  static List<JsonNode> vectors() {
    List<JsonNode> all = new ArrayList<>(Vectors.vectors("ebu3341-vectors.json"));
    all.addAll(Vectors.vectors("ebu3342-vectors.json"));
    assertEquals(63, all.size());
    return all;
  }

  private static Map<String, Double> readings() {
    Map<String, Double> readings = new HashMap<>();
    for (String[] row : Vectors.rows("reference-readings.csv")) {
      double reading = Double.parseDouble(row[3]);
      if (row[1].equals("TP")) {
        // A model of the filter alone; what we read is the larger of it and the sample peak.
        double samplePeak = Double.parseDouble(row[5].replaceFirst(".*sample peak ", ""));
        reading = Math.max(Double.parseDouble(row[2]), samplePeak);
      }
      readings.put(row[0] + " " + row[1].replaceFirst(" .*", ""), reading);
    }
    return readings;
  }

  @AfterAll
  static void printTable() {
    System.out.println(HEAD);
    TABLE.forEach(
        (row, deviation) ->
            System.out.printf(
                Locale.ROOT,
                "| %s | %+.3f | %+.3f |%n",
                row.replace("#", String.valueOf(deviation.getCount())),
                deviation.getMin(),
                deviation.getMax()));
  }

  @ParameterizedTest(name = "{0}")
  @MethodSource("vectors")
  void everySignalReadsWhatTheStandardSays(JsonNode vector) {
    String id = vector.get("id").asText();
    if (vector.get("kind").asText().equals("tone")) {
      Hops hops = tone(vector);
      for (JsonNode expect : vector.get("expect")) {
        checkTone(id, expect, hops, vector);
      }
    } else {
      JsonNode expect = vector.get("expect").get(0);
      double[] x =
          vector.get("kind").asText().equals("truepeak-sine") ? sine(vector) : burst(vector);
      check(id, "TP", expect, expect.get("value").asDouble(), Meters.truePeakDb(x, x));
    }
  }

  private static void checkTone(String id, JsonNode expect, Hops hops, JsonNode vector) {
    String metric = expect.get("metric").asText();
    Loudness loudness = Loudness.of(hops);
    if (expect.has("successive")) {
      // A live meter: the running maximum after each group of three segments.
      double[] live = metric.equals("maxM") ? loudness.momentaryLufs() : loudness.shortTermLufs();
      int window = metric.equals("maxM") ? 40 : 300;
      double at = 0;
      for (int i = 0; i < expect.get("successive").size(); i++) {
        for (int j = 0; j < 3; j++) {
          at += vector.get("segments").get(3 * i + j).get("seconds").asDouble();
        }
        int readings = (int) Math.round(at * 100) - window + 1;
        double max = Arrays.stream(live, 0, readings).max().orElseThrow();
        check(id, metric, expect, expect.get("successive").get(i).asDouble(), max);
      }
      return;
    }
    double value = expect.get("value").asDouble();
    switch (metric) {
      case "I" -> check(id, "I", expect, value, loudness.integratedLufs().orElseThrow());
      case "maxM" -> check(id, "maxM", expect, value, loudness.maxMomentaryLufs().orElseThrow());
      case "maxS" -> check(id, "maxS", expect, value, loudness.maxShortTermLufs().orElseThrow());
      case "LRA" -> check(id, "LRA", expect, value, loudness.rangeLu().orElseThrow());
      case "M", "S" -> {
        double[] live = metric.equals("M") ? loudness.momentaryLufs() : loudness.shortTermLufs();
        // "after 1 s" for case 12: momentary windows that end there or later; else all of them.
        int from = id.equals("3341-12") ? 60 : 0;
        double[] heard = Arrays.copyOfRange(live, from, live.length);
        assertTrue(heard.length > 100, id);
        check(id, metric, expect, value, Arrays.stream(heard).min().orElseThrow());
        check(id, metric, expect, value, Arrays.stream(heard).max().orElseThrow());
      }
      default -> throw new AssertionError(metric);
    }
  }

  private static void check(
      String id, String metric, JsonNode expect, double value, double measured) {
    double plus = expect.get("plus").asDouble();
    double minus = expect.get("minus").asDouble();
    String row =
        String.format(
            Locale.ROOT,
            "%s | %s | # | %+.1f %+.1f",
            id.replaceFirst("(-1[03])-..", "$1"),
            metric,
            -minus,
            plus);
    TABLE.computeIfAbsent(row, key -> new DoubleSummaryStatistics()).accept(measured - value);
    String read = id + " " + metric + ": " + value + ", read " + measured;
    assertTrue(measured >= value - minus && measured <= value + plus, read);
    Double other = READINGS.get(id + " " + metric);
    if (other != null && !expect.has("successive")) {
      // Both are printed with four decimals.
      assertEquals(other, measured, 0.0002, read);
    }
  }

  /** Channels in pairs; a surround channel's energy counts 1.41-fold. */
  private static Hops tone(JsonNode vector) {
    int rate = 48_000;
    int channels = vector.get("channels").asInt();
    List<double[]> x = new ArrayList<>();
    for (int c = 0; c < (channels == 2 ? 1 : channels); c++) {
      x.add(tone(vector.get("segments"), c, rate, vector.get("freqHz").asDouble()));
    }
    if (channels == 2) {
      return Meters.fine(rate, x.get(0), x.get(0));
    }
    double[] sum = new double[0];
    for (int c = 0; c < channels; c++) {
      double[] silence = new double[x.get(c).length];
      double[] one = Meters.fine(rate, x.get(c), silence).energies();
      sum = c == 0 ? new double[one.length] : sum;
      for (int h = 0; h < one.length; h++) {
        sum[h] += vector.get("channelGains").get(c).asDouble() * one[h];
      }
    }
    return new Hops(rate, HopPlan.FINE, 0, sum);
  }

  private static double[] tone(JsonNode segments, int channel, int rate, double freqHz) {
    int frames = 0;
    for (JsonNode segment : segments) {
      frames += (int) Math.round(segment.get("seconds").asDouble() * rate);
    }
    double[] x = new double[frames];
    int n = 0;
    for (JsonNode segment : segments) {
      JsonNode level =
          segment.has("peakDbfsPerChannel")
              ? segment.get("peakDbfsPerChannel").get(channel)
              : segment.get("peakDbfs");
      double peak = level.isNull() ? 0 : Math.pow(10, level.asDouble() / 20);
      int end = n + (int) Math.round(segment.get("seconds").asDouble() * rate);
      for (; n < end; n++) {
        x[n] = peak * Math.sin(2 * Math.PI * freqHz * n / rate);
      }
    }
    return x;
  }

  private static double[] sine(JsonNode vector) {
    int frames = (int) (vector.get("seconds").asDouble() * 48_000);
    double amplitude = vector.get("amplitude").asDouble();
    double phase = Math.toRadians(vector.get("phaseDeg").asDouble());
    double step = 2 * Math.PI / vector.get("freqFsDivisor").asDouble();
    double[] x = new double[frames];
    for (int n = 0; n < frames; n++) {
      x[n] = amplitude * Math.sin(step * n + phase) * fade(n, frames, 480);
    }
    return x;
  }

  private static double fade(int n, int frames, int length) {
    return Math.min(1, Math.min((double) n / length, (double) (frames - 1 - n) / length));
  }

  /**
   * A burst at four times the rate, low-passed and decimated, as the standard draws it; filter and
   * fades, which it leaves open, are the 257-tap Kaiser low-pass at 0.45 fs and 10 ms that the
   * reference readings are of.
   */
  private static double[] burst(JsonNode vector) {
    int frames = 4 * 9_600;
    double[] x = new double[frames];
    for (int n = 0; n < frames; n++) {
      double value;
      if (n < 19_200) {
        value = 0.5 * Math.sin(2 * Math.PI * (n % 24) / 24);
      } else if (n < 19_216) {
        value = Math.sin(2 * Math.PI * (n - 19_200) / 16);
      } else {
        value = 0.5 * Math.sin(2 * Math.PI * ((n - 19_216) % 24) / 24);
      }
      x[n] = value * fade(n, frames, 1_920);
    }
    double[] taps = lowPass();
    double[] decimated = new double[9_600];
    for (int m = 0; m < decimated.length; m++) {
      int centre = 4 * m + vector.get("decimationOffset").asInt();
      double sum = 0;
      for (int i = 0; i < taps.length; i++) {
        int n = centre + i - 128;
        sum += n >= 0 && n < frames ? taps[i] * x[n] : 0;
      }
      decimated[m] = sum;
    }
    return decimated;
  }

  private static double[] lowPass() {
    double[] taps = new double[257];
    double cutoff = 0.1125;
    double sum = 0;
    for (int i = 0; i < taps.length; i++) {
      double m = i - 128.0;
      double t = 2 * Math.PI * cutoff * m;
      double sinc = m == 0 ? 1 : Math.sin(t) / t;
      double r = m / 128;
      taps[i] = 2 * cutoff * sinc * bessel(10 * Math.sqrt(1 - r * r)) / bessel(10);
      sum += taps[i];
    }
    for (int i = 0; i < taps.length; i++) {
      taps[i] /= sum;
    }
    return taps;
  }

  /** Modified Bessel function of the first kind, order 0: its power series. */
  private static double bessel(double x) {
    double term = 1;
    double sum = 1;
    for (int k = 1; k < 60; k++) {
      term *= x * x / 4 / k / k;
      sum += term;
    }
    return sum;
  }
}
