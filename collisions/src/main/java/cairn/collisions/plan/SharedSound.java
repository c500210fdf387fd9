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
import cairn.collisions.signal.Crew;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * Two stems that carry the same sound wherever they meet, such as a drum and its low layer, or a
 * dry sound and its return: to be yoked, since one that moves alone combs.
 *
 * @param first index of the one
 * @param second index of the other, over {@code first}
 * @param shared at how many moments that both lead one carries the sound of the other
 * @param together how many moments both lead
 */
public record SharedSound(int first, int second, int shared, int together) {

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
   * <p>Looks at the {@value #MOST_MOMENTS} highest moments at most.
   */
  public static List<SharedSound> strong(Pass pass, StemSource source, Crew crew)
      throws IOException {
    Session session = pass.session();
    int stems = session.stems().size();
    int[][] shared = new int[stems][stems];
    int[][] together = new int[stems][stems];
    List<Moment> moments =
        pass.moments().stream().filter(m -> !m.isLong()).limit(MOST_MOMENTS).toList();
    FixFinder finder = new FixFinder(session, pass.line(), FixLimits.DEFAULT);
    try (WhatIf whatIf = WhatIf.of(pass, pass.line(), source, crew, Progress.NONE)) {
      crew.share(
          moments.size(),
          () ->
              task -> {
                Moment moment = moments.get(task);
                List<Integer> leading = moment.leading().stream().map(Contribution::stem).toList();
                Optional<OverRun> run = whatIf.listedAt(moment.peakFrame());
                if (leading.size() < 2 || run.isEmpty()) {
                  return;
                }
                FixesHere here = whatIf.fixes(finder, run.get());
                for (int k : leading) {
                  List<Integer> same = here.combs(k);
                  synchronized (shared) {
                    for (int j : leading) {
                      together[k][j]++;
                      shared[k][j] += same.contains(j) ? 1 : 0;
                    }
                  }
                }
              });
    }
    List<SharedSound> strong = new ArrayList<>();
    for (int k = 0; k < stems; k++) {
      for (int j = k + 1; j < stems; j++) {
        SharedSound pair =
            new SharedSound(k, j, Math.max(shared[k][j], shared[j][k]), together[k][j]);
        if (pair.isStrong() && !session.yokes().groupOf(k).contains(j)) {
          strong.add(pair);
        }
      }
    }
    return strong;
  }
}
