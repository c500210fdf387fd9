package cairn.demo;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * Evens out the band, then plants the figures. The ordinary peaks of the bus are brought under a
 * ceiling by playing single hits more softly, as a band does that listens to itself; then each
 * figure is set on the frame where the others leave it the most even room, and given the gain at
 * which the lowest of its moments stands as high as it should.
 */
final class Tuning {

  /** The average peak that the song is built around. */
  static final double AVERAGE = Waves.factor(-5.4);

  /** No ordinary peak is to be above this; the line is at −4.4 dBFS. */
  private static final double CEILING = Waves.factor(-5.1);

  /** The mean ordinary window peak in the second drop before the figures come. */
  private static final double ORDINARY = Waves.factor(-6.75);

  /** How far from a planted crest the bus is left alone, 0.3 ms. */
  private static final int NEAR = Waves.frames(0.0003);

  /** How far an ordinary crest is looked for from where it passes the ceiling, 3 ms. */
  private static final int CREST = Waves.frames(0.003);

  /** How far a figure may be moved from its grid to find even room, 6 ms. */
  private static final int ROOM = Waves.frames(0.006);

  /** Frames that are looked through again together once something in them has changed. */
  private static final int BLOCK = 1024;

  private static final int ROUNDS = 3;
  private static final int PASSES = 12;

  /** What repeats exactly and is never evened out. */
  private static final Set<Voice> EXACT =
      EnumSet.of(Voice.SURDO_LOW, Voice.SURDO_LOW_SINE, Voice.CLAPS, Voice.SHAKER, Voice.HALL);

  /** One planted moment to come: a figure in one of its bars. */
  record Place(Figure figure, int bar, int frame) {}

  private final Kit kit;
  private final Band band;
  private final double[][] bus;
  private final List<Place> places = new ArrayList<>();
  private final Map<Place, List<Hit>> held = new HashMap<>();

  /** Blocks that may have a crest above the ceiling. */
  private final BitSet suspect = new BitSet();

  private final Map<Voice, Integer> longest = new EnumMap<>(Voice.class);

  private Tuning(Kit kit, Band band) {
    this.kit = kit;
    this.band = band;
    this.bus = new double[2][band.frames];
  }

  /** Tunes the band in place; gives the places of its figures in order of time. */
  static List<Place> tune(Kit kit, Band band) {
    Tuning tuning = new Tuning(kit, band);
    tuning.sum();
    tuning.evenOut();
    tuning.scaleTo(ORDINARY);
    tuning.evenOut();
    for (Figure figure : Figure.ALL) {
      tuning.plant(figure);
    }
    tuning.places.sort(Comparator.comparingInt(Place::frame));
    for (int round = 0; round < ROUNDS; round++) {
      tuning.sum();
      tuning.evenOut();
      for (Figure figure : Figure.ALL) {
        tuning.setGain(figure);
      }
    }
    return tuning.places;
  }

  private void sum() {
    for (double[] channel : bus) {
      Arrays.fill(channel, 0);
    }
    for (Voice voice : Voice.values()) {
      band.of(voice).sort(Comparator.comparingInt(hit -> hit.frame));
      int most = 0;
      for (Hit hit : band.of(voice)) {
        most = Math.max(most, hit.sound.frames());
      }
      longest.put(voice, most);
      for (Hit hit : band.of(voice)) {
        Band.add(hit, hit.gain, 0, bus[0]);
        Band.add(hit, hit.gain, 1, bus[1]);
      }
    }
    double[][] hall = band.play(Voice.HALL);
    for (int c = 0; c < 2; c++) {
      for (int n = 0; n < band.frames; n++) {
        bus[c][n] += hall[c][n];
      }
    }
  }

  private void evenOut() {
    suspect.set(0, band.frames / BLOCK + 1);
    for (int pass = 0; pass < PASSES && !suspect.isEmpty(); pass++) {
      int next = 0;
      for (int block = suspect.nextSetBit(0); block >= 0; block = suspect.nextSetBit(block + 1)) {
        suspect.clear(block);
        next = evenOut(block * BLOCK, Math.min(band.frames, (block + 1) * BLOCK), next);
      }
    }
    suspect.clear();
  }

  /** Softens all crests in a block; gives the first place that later blocks have to heed. */
  private int evenOut(int from, int end, int firstPlace) {
    int next = firstPlace;
    double[] left = bus[0];
    double[] right = bus[1];
    for (int n = from; n < end; n++) {
      if (Math.abs(left[n]) <= CEILING && Math.abs(right[n]) <= CEILING) {
        continue;
      }
      while (next < places.size() && endOf(places.get(next)) < n) {
        next++;
      }
      int limit = Math.min(band.frames, n + CREST);
      if (next < places.size()) {
        int near = places.get(next).frame - NEAR;
        if (n >= near) {
          n = endOf(places.get(next));
          continue;
        }
        limit = Math.min(limit, near);
      }
      int crest = n;
      for (int m = n; m < limit; m++) {
        crest = level(m) > level(crest) ? m : crest;
      }
      soften(crest);
      n = crest;
    }
    return next;
  }

  private static int endOf(Place place) {
    return place.frame + (place.figure.isLong() ? Waves.frames(0.5) : NEAR);
  }

  private double level(int n) {
    return Math.max(Math.abs(bus[0][n]), Math.abs(bus[1][n]));
  }

  /** Plays what adds most at a crest more softly, until it is under the ceiling. */
  private void soften(int n) {
    for (int tries = 0; tries < 6; tries++) {
      int c = Math.abs(bus[0][n]) >= Math.abs(bus[1][n]) ? 0 : 1;
      double over = Math.abs(bus[c][n]) - 0.995 * CEILING;
      if (over <= 0) {
        break;
      }
      double sign = Math.signum(bus[c][n]);
      Hit most = null;
      double highest = 0.004;
      for (Voice voice : Voice.values()) {
        if (EXACT.contains(voice)) {
          continue;
        }
        for (Hit hit : around(voice, n)) {
          double adds = sign * hit.at(n, c) * (voice.programmed ? 0.5 : 1);
          if (!hit.held && adds > highest) {
            highest = adds;
            most = hit;
          }
        }
      }
      if (most == null) {
        break;
      }
      double adds = sign * most.at(n, c);
      change(most, most.gain * Math.max(0.7, 1 - over / adds));
    }
  }

  private List<Hit> around(Voice voice, int n) {
    List<Hit> hits = band.of(voice);
    int low = 0;
    int high = hits.size();
    int from = n - longest.getOrDefault(voice, 0);
    while (low < high) {
      int middle = (low + high) >>> 1;
      if (hits.get(middle).frame <= from) {
        low = middle + 1;
      } else {
        high = middle;
      }
    }
    int end = low;
    while (end < hits.size() && hits.get(end).frame <= n) {
      end++;
    }
    return hits.subList(low, end);
  }

  private void change(Hit hit, double gain) {
    for (int c = 0; c < 2; c++) {
      Band.add(hit, gain - hit.gain, c, bus[c]);
    }
    int from = Math.max(0, hit.frame);
    int end = Math.min(band.frames, hit.frame + hit.sound.frames());
    suspect.set(from / BLOCK, Math.max(from, end - 1) / BLOCK + 1);
    hit.gain = gain;
  }

  /** Brings the mean window peak of the second drop to {@code target}, figures' windows too. */
  private void scaleTo(double target) {
    int window = Waves.SAMPLE_RATE_HZ / 2;
    int from = Grid.bar(Part.DROP_TWO.firstBar);
    int end = Grid.bar(Part.DROP_TWO.endBar());
    double sum = 0;
    int count = 0;
    for (int at = from; at + window <= end; at += window) {
      double peak = 0;
      for (int n = at; n < at + window; n++) {
        peak = Math.max(peak, level(n));
      }
      sum += peak;
      count++;
    }
    double factor = target * count / sum;
    for (Voice voice : Voice.values()) {
      for (Hit hit : band.of(voice)) {
        hit.gain *= factor;
      }
    }
    for (double[] channel : bus) {
      for (int n = 0; n < channel.length; n++) {
        channel[n] *= factor;
      }
    }
  }

  private Sound sound(Figure figure, Voice voice) {
    int bar = figure.bars().get(0);
    int variant = Figure.ALL.indexOf(figure);
    if (figure.isLong()) {
      return kit.held(voice);
    }
    return switch (voice) {
      case BRASS_HIGH, BRASS_LOW -> kit.brass(voice, bar, 2);
      case LEAD -> kit.lead(Kit.scale(4), 4);
      case AGOGO -> kit.stroke(voice, 1);
      case WHISTLE -> kit.stroke(voice, 0);
      default -> kit.stroke(voice, variant);
    };
  }

  /** Chooses the place of a figure's crest against the grid, one for all its bars, and plays it. */
  private void plant(Figure figure) {
    int best = 0;
    double least = Double.POSITIVE_INFINITY;
    int room = figure.isLong() ? 0 : ROOM;
    for (int late = 0; late <= room; late++) {
      double sum = 0;
      for (int bar : figure.bars()) {
        int n = Grid.frame(bar, figure.step()) + late;
        double away = 0.5 * (bus[0][n] + bus[1][n]) - 0.04;
        sum += away * away;
      }
      if (sum < least) {
        least = sum;
        best = late;
      }
    }
    for (int bar : figure.bars()) {
      Place place = new Place(figure, bar, Grid.frame(bar, figure.step()) + best);
      places.add(place);
      List<Hit> hits = new ArrayList<>();
      for (Figure.Role role : figure.roles()) {
        Sound sound = sound(figure, role.voice());
        Hit hit = new Hit(role.voice(), place.frame - sound.crestFrame, sound, 0, /* held= */ true);
        hits.add(hit);
        band.add(hit);
      }
      held.put(place, hits);
    }
    setGain(figure);
  }

  /** Sets one gain for all hits of a figure, so that its lowest moment is as high as it should. */
  private void setGain(Figure figure) {
    double target = AVERAGE * Waves.factor(figure.excessDb());
    double gain = 0;
    for (Place place : places) {
      if (place.figure.equals(figure)) {
        double needed = Double.POSITIVE_INFINITY;
        for (int c = 0; c < 2; c++) {
          double own = 0;
          double unit = 0;
          for (int i = 0; i < figure.roles().size(); i++) {
            Hit hit = held.get(place).get(i);
            own += hit.at(place.frame, c);
            unit += figure.roles().get(i).weight() * hit.sound.channel(c)[hit.sound.crestFrame];
          }
          needed = Math.min(needed, (target - (bus[c][place.frame] - own)) / unit);
        }
        gain = Math.max(gain, needed);
      }
    }
    for (Place place : places) {
      if (place.figure.equals(figure)) {
        for (int i = 0; i < figure.roles().size(); i++) {
          change(held.get(place).get(i), gain * figure.roles().get(i).weight());
        }
      }
    }
  }
}
