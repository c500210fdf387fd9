package cairn.tui.update;

import cairn.collisions.Analysis;
import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.Stem;
import cairn.collisions.Unanalysable;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemReader;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Crew;
import cairn.collisions.time.TempoMap;
import cairn.tui.model.Earlier;
import cairn.tui.model.Song;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.LongToDoubleFunction;

/**
 * Five seconds of a parade band in arrays, at 8 kHz: three strokes of caixa and surdo that are
 * alike, the second the highest; one clap that is a peak of its own; and a choir that is over for
 * 200 ms.
 */
final class ArraySong implements StemSource {

  static final int RATE = 8_000;
  static final int FRAMES = 40_000;

  static final int BED = 0;
  static final int CAIXA = 1;
  static final int SURDO = 2;
  static final int CLAPS = 3;
  static final int CHOIR = 4;

  private static final long[] STROKES = {6_300, 14_300, 22_300};
  private static final double[] SIZES = {0.300, 0.302, 0.300};
  private static final long CLAP = 28_300;
  private static final long CHOIR_FROM = 33_000;

  private final List<Stem> stems = new ArrayList<>();
  private final List<double[]> samples = new ArrayList<>();

  ArraySong() {
    add("bed", n -> n % 4_000 == 2_000 ? 0.2 : 0);
    // Both rise to their peak at the stroke's eleventh frame, the caixa for much shorter.
    add("caixa", n -> stroke(n, 20, 22));
    add("surdo", n -> stroke(n, 80, 80));
    add("claps", n -> n == CLAP ? 0.52 : 0);
    add("choir", n -> n >= CHOIR_FROM && n < CHOIR_FROM + 1_600 ? 0.5 * ((n & 1) * 2 - 1) : 0);
  }

  private static double stroke(long n, double period, double decay) {
    for (int i = 0; i < STROKES.length; i++) {
      long since = n - STROKES[i];
      if (since >= 0 && since < 600) {
        double turn = 2 * Math.PI * (since - 10) / period;
        return SIZES[i] * Math.exp(-Math.abs(since - 10) / decay) * Math.cos(turn);
      }
    }
    return 0;
  }

  private void add(String name, LongToDoubleFunction x) {
    double[] y = new double[FRAMES];
    for (int n = 0; n < FRAMES; n++) {
      y[n] = x.applyAsDouble(n);
    }
    stems.add(new Stem(name, 1, FRAMES));
    samples.add(y);
  }

  Session session() {
    return Session.atUnity(RATE, stems);
  }

  Pass analyse(Session session, Settings settings) {
    try {
      return new Analysis(session, this, Crew.ALONE, Progress.NONE).run(settings);
    } catch (IOException | Unanalysable e) {
      throw new AssertionError(e);
    }
  }

  static Song song(Pass pass) {
    return song(pass, Optional.empty());
  }

  static Song song(Pass pass, Optional<Earlier> earlier) {
    List<String> names = pass.session().stems().stream().map(Stem::name).toList();
    return new Song(
        "parade",
        earlier.isPresent() ? 2 : 1,
        pass,
        names,
        names.stream().map(name -> name + ".wav").toList(),
        names.stream().map(name -> "").toList(),
        List.of(),
        Optional.of(new TempoMap(120, 4, 4, 0)),
        earlier);
  }

  @Override
  public StemReader openReader() {
    return new StemReader() {
      @Override
      public void read(int stem, long firstFrame, int frames, double[][] into, int at) {
        System.arraycopy(samples.get(stem), Math.toIntExact(firstFrame), into[0], at, frames);
      }

      @Override
      public void close() {}
    };
  }
}
