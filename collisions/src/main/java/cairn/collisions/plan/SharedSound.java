package cairn.collisions.plan;

import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.fix.FixFinder;
import cairn.collisions.fix.FixLimits;
import cairn.collisions.fix.FixesHere;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverRun;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.BandCorrelation;
import cairn.collisions.signal.Crew;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.IntPredicate;

/**
 * Two stems that carry the same sound wherever they meet, such as a drum and its low layer, or a
 * dry sound and its return: to be yoked, since one that moves alone combs.
 *
 * @param first index of the one
 * @param second index of the other, over {@code first}
 * @param shared at how many moments that both lead one carries the sound of the other
 * @param together how many moments both lead
 * @param bandHz the octave band, by its nominal mid-band frequency in Hz, that alone is alike, at
 *     the same lag each time; 0: the whole sound
 */
public record SharedSound(int first, int second, int shared, int together, int bandHz) {

  /** As often must they meet before anything is suggested. */
  public static final int LEAST_TOGETHER = 3;

  private static final int MOST_MOMENTS = 200;

  /** Whether they share it at four of five moments or more, and meet often enough to tell. */
  public boolean isStrong() {
    return together >= LEAST_TOGETHER && 5 * shared >= 4 * together;
  }

  /**
   * All pairs that are not yoked and share a sound strongly, in stem order.
   *
   * <p>Looks at {@value #MOST_MOMENTS} moments at most; of more, the song is cut into so many parts
   * with as many moments each, and the highest of each is looked at.
   */
  public static List<SharedSound> strong(Pass pass, StemSource source, Crew crew)
      throws IOException {
    return strong(pass, source, crew, (int k) -> true);
  }

  /** The other stems that carry the sound of one strongly, and do not move with it. */
  public static List<Integer> strong(Pass pass, StemSource source, Crew crew, int stem)
      throws IOException {
    return with(strong(pass, source, crew, (int k) -> k == stem), stem);
  }

  /** Which other stem of a list of pairs carries the sound of this one; in their order. */
  public static List<Integer> with(List<SharedSound> pairs, int stem) {
    return pairs.stream()
        .filter(pair -> pair.first() == stem || pair.second() == stem)
        .map(pair -> pair.otherThan(stem))
        .toList();
  }

  private int otherThan(int stem) {
    return first == stem ? second : first;
  }

  /** The highest of each of so many parts of the song. */
  static List<Moment> throughout(List<Moment> moments, int most) {
    List<Moment> inTime =
        moments.stream()
            .filter(moment -> !moment.isLong())
            .sorted(Comparator.comparingLong(Moment::peakFrame))
            .toList();
    if (inTime.size() <= most) {
      return inTime;
    }
    List<Moment> highest = new ArrayList<>();
    for (int i = 0; i < most; i++) {
      int from = (int) ((long) inTime.size() * i / most);
      int end = (int) ((long) inTime.size() * (i + 1) / most);
      highest.add(
          inTime.subList(from, end).stream()
              .max(Comparator.comparingDouble(Moment::peak))
              .orElseThrow());
    }
    return highest;
  }

  /**
   * @param asked the stems whose sound is looked for in the others
   */
  private static List<SharedSound> strong(
      Pass pass, StemSource source, Crew crew, IntPredicate asked) throws IOException {
    Session session = pass.session();
    int stems = session.stems().size();
    int[][] shared = new int[stems][stems];
    int[][] together = new int[stems][stems];
    BandLags[][] bands = new BandLags[stems][stems];
    List<Moment> moments = throughout(pass.moments(), MOST_MOMENTS);
    FixFinder finder = new FixFinder(session, pass.line(), FixLimits.DEFAULT);
    try (WhatIf whatIf = WhatIf.of(pass, pass.line(), source, crew, Progress.NONE)) {
      crew.share(
          moments.size(),
          () ->
              task -> {
                Moment moment = moments.get(task);
                List<Integer> leading = moment.leading().stream().map(Contribution::stem).toList();
                Optional<OverRun> run = whatIf.listedAt(moment.peakFrame());
                if (leading.size() < 2
                    || run.isEmpty()
                    || leading.stream().noneMatch(asked::test)) {
                  return;
                }
                FixesHere here = whatIf.fixes(finder, run.get());
                for (int k : leading) {
                  if (!asked.test(k)) {
                    continue;
                  }
                  List<Integer> same = here.sameSound(k);
                  for (int j : leading) {
                    List<BandCorrelation.Band> alike =
                        j == k || same.contains(j) ? List.of() : here.bandsAlike(k, j);
                    synchronized (shared) {
                      together[k][j]++;
                      shared[k][j] += same.contains(j) ? 1 : 0;
                      bands[k][j] = bands[k][j] == null ? new BandLags() : bands[k][j];
                      bands[k][j].add(alike);
                    }
                  }
                }
              });
    }
    List<SharedSound> strong = new ArrayList<>();
    for (int k = 0; k < stems; k++) {
      for (int j = k + 1; j < stems; j++) {
        int met = Math.max(together[k][j], together[j][k]);
        SharedSound pair = new SharedSound(k, j, Math.max(shared[k][j], shared[j][k]), met, 0);
        for (BandLags lags : new BandLags[] {bands[k][j], bands[j][k]}) {
          if (!pair.isStrong() && lags != null) {
            pair = lags.best(k, j, met, session.sampleRateHz()).orElse(pair);
          }
        }
        if (pair.isStrong() && !session.yokes().groupOf(k).contains(j)) {
          strong.add(pair);
        }
      }
    }
    return strong;
  }

  /** At which lags each octave band of two stems was the same sound. */
  private static final class BandLags {
    private final Map<Integer, List<Integer>> ofBand = new TreeMap<>();

    void add(List<BandCorrelation.Band> alike) {
      for (BandCorrelation.Band band : alike) {
        if (band.isSame()) {
          ofBand.computeIfAbsent(band.midHz(), hertz -> new ArrayList<>()).add(band.lagFrames());
        }
      }
    }

    /** The band that is alike the most often at one lag, give or take half a millisecond. */
    Optional<SharedSound> best(int k, int j, int together, int sampleRateHz) {
      Optional<SharedSound> best = Optional.empty();
      for (Map.Entry<Integer, List<Integer>> band : ofBand.entrySet()) {
        List<Integer> lags = band.getValue().stream().sorted().toList();
        int middle = lags.get(lags.size() / 2);
        int alike =
            (int) lags.stream().filter(l -> Math.abs(l - middle) * 2000L <= sampleRateHz).count();
        SharedSound pair = new SharedSound(k, j, alike, together, band.getKey());
        if (pair.isStrong() && (best.isEmpty() || best.get().shared() < alike)) {
          best = Optional.of(pair);
        }
      }
      return best;
    }
  }
}
