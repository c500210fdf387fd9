package cairn.collisions.moment;

import cairn.collisions.Session;
import cairn.collisions.TimeRange;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.Crew;
import cairn.collisions.signal.MixDown;
import cairn.collisions.signal.ShapeComparer;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * Finds the moments that the same stems make up in the same shape, so that one fix serves them;
 * definitions.md, 3.
 *
 * <p>Only moments of the same stems can be alike, so each set of stems is a task of its own, and a
 * set with one moment is never read. Within a set a moment is correlated only with heads of nearly
 * its shares, the first {@link #MOST_HEADS} of them at most: that bounds the work by so many short
 * correlations a moment and stem, however low the line.
 */
public final class Alike {

  /** The share of no stem that makes up the depth may differ by more. */
  static final double SHARE_WITHIN = 0.10;

  /** From this normalised cross-correlation on two stems have the same shape. */
  static final double SAME_SHAPE_FROM = 0.9;

  /** A moment that is alike to none of so many heads of nearly its shares is a head itself. */
  static final int MOST_HEADS = 200;

  private static final int WINDOW_MILLIS = 10;
  private static final int LAG_MILLIS = 1;

  /** Most samples of heads that one worker keeps: 32 MB. What is dropped is read again. */
  private static final int MOST_KEPT_SAMPLES = 4_000_000;

  private final Session session;
  private final TimeRange range;
  private final int windowFrames;
  private final int lagFrames;

  private Alike(Session session, TimeRange range) {
    this.session = session;
    this.range = range;
    windowFrames = WINDOW_MILLIS * session.sampleRateHz() / 1000;
    lagFrames = LAG_MILLIS * session.sampleRateHz() / 1000;
  }

  /**
   * The same moments, each with the rank of its head and the number that the head stands for.
   *
   * @param source the stems as they are, without marks
   * @param range the stretch that is looked at; outside it all is silence
   * @param byRank all moments, by rank from 1
   */
  public static List<Moment> group(
      Session session, StemSource source, TimeRange range, Crew crew, List<Moment> byRank)
      throws IOException {
    Alike alike = new Alike(session, range);
    List<List<Moment>> sets = setsOfStems(byRank);
    int[] head = new int[byRank.size()];
    Arrays.setAll(head, i -> i);
    crew.share(sets.size(), () -> alike.new Joiner(source, sets, head));
    int[] count = new int[head.length];
    for (int h : head) {
      count[h]++;
    }
    List<Moment> grouped = new ArrayList<>(head.length);
    for (int i = 0; i < head.length; i++) {
      grouped.add(byRank.get(i).withAlike(byRank.get(head[i]).rank(), count[head[i]]));
    }
    return List.copyOf(grouped);
  }

  /** The moments of each set of stems that makes up several, the largest first. */
  private static List<List<Moment>> setsOfStems(List<Moment> byRank) {
    Map<List<Integer>, List<Moment>> sets = new LinkedHashMap<>();
    for (Moment moment : byRank) {
      List<Integer> stems = moment.makingUp().stream().map(Contribution::stem).sorted().toList();
      sets.computeIfAbsent(stems, key -> new ArrayList<>()).add(moment);
    }
    return sets.values().stream()
        .filter(set -> set.size() > 1)
        .sorted(Comparator.comparingInt((List<Moment> set) -> set.size()).reversed())
        .toList();
  }

  /** Joins the moments of one set of stems after another. */
  private final class Joiner implements Crew.Worker {
    private final List<List<Moment>> sets;
    private final int[] headOf;
    private final MixDown mixDown;
    private final ShapeComparer comparer = new ShapeComparer(2 * windowFrames + 1, lagFrames);
    private final double[][] buffer = Block.stereo(2 * (windowFrames + lagFrames) + 1);

    Joiner(StemSource source, List<List<Moment>> sets, int[] headOf) throws IOException {
      this.sets = sets;
      this.headOf = headOf;
      mixDown = new MixDown(session, source.openReader());
    }

    @Override
    public void work(int task) throws IOException {
      List<Moment> heads = new ArrayList<>();
      Map<Integer, ShapeComparer.Fixed[]> kept = kept(sets.get(task).get(0).depth());
      for (Moment moment : sets.get(task)) {
        Optional<Moment> head = headFor(moment, heads, kept);
        if (head.isPresent()) {
          headOf[moment.rank() - 1] = head.get().rank() - 1;
        } else {
          heads.add(moment);
        }
      }
    }

    /** A store that forgets the head that was not needed for longest. */
    private Map<Integer, ShapeComparer.Fixed[]> kept(int depth) {
      int most = Math.max(1, MOST_KEPT_SAMPLES / (depth * 4 * windowFrames + 1));
      return new LinkedHashMap<>(16, 0.75f, true) {
        private static final long serialVersionUID = 1L;

        @Override
        protected boolean removeEldestEntry(Map.Entry<Integer, ShapeComparer.Fixed[]> eldest) {
          return size() > most;
        }
      };
    }

    private Optional<Moment> headFor(
        Moment moment, List<Moment> heads, Map<Integer, ShapeComparer.Fixed[]> kept)
        throws IOException {
      ShapeComparer.Moving[][] around = new ShapeComparer.Moving[moment.depth()][];
      int tried = 0;
      for (Moment head : heads) {
        if (haveNearlyTheShares(moment, head)) {
          if (isSameShape(moment, around, head, kept)) {
            return Optional.of(head);
          }
          tried++;
          if (tried == MOST_HEADS) {
            return Optional.empty();
          }
        }
      }
      return Optional.empty();
    }

    private boolean isSameShape(
        Moment moment,
        ShapeComparer.Moving[][] around,
        Moment head,
        Map<Integer, ShapeComparer.Fixed[]> kept)
        throws IOException {
      ShapeComparer.Fixed[] shapes = kept.get(head.rank());
      if (shapes == null) {
        shapes = new ShapeComparer.Fixed[head.depth()];
        kept.put(head.rank(), shapes);
      }
      for (int i = 0; i < shapes.length; i++) {
        int stem = head.makingUp().get(i).stem();
        if (shapes[i] == null) {
          read(stem, head.peakFrame(), windowFrames);
          shapes[i] = comparer.fixed(buffer[head.channel()]);
        }
        int j = placeOf(stem, moment);
        if (around[j] == null) {
          read(stem, moment.peakFrame(), windowFrames + lagFrames);
          around[j] =
              new ShapeComparer.Moving[] {comparer.moving(buffer[0]), comparer.moving(buffer[1])};
        }
        if (!comparer.reaches(SAME_SHAPE_FROM, shapes[i], around[j][head.channel()])) {
          return false;
        }
      }
      return true;
    }

    /** Writes the stem from {@code reach} frames before a frame to as many after it. */
    private void read(int stem, long frame, int reach) throws IOException {
      int frames = 2 * reach + 1;
      long first = frame - reach;
      mixDown.stemOnBus(stem, first, frames, buffer);
      int from = (int) Math.max(0, Math.min(frames, range.firstFrame() - first));
      int to = (int) Math.max(from, Math.min(frames, range.endFrame() - first));
      Block.clear(buffer, 0, from);
      Block.clear(buffer, to, frames);
    }

    @Override
    public void close() throws IOException {
      mixDown.close();
    }
  }

  private static int placeOf(int stem, Moment moment) {
    List<Contribution> makingUp = moment.makingUp();
    for (int i = 0; i < makingUp.size(); i++) {
      if (makingUp.get(i).stem() == stem) {
        return i;
      }
    }
    throw new IllegalArgumentException("stem must make up the depth: stem=" + stem);
  }

  /** For moments of the same stems. */
  private static boolean haveNearlyTheShares(Moment a, Moment b) {
    for (Contribution one : a.makingUp()) {
      double other = b.makingUp().get(placeOf(one.stem(), b)).share();
      if (Math.abs(one.share() - other) > SHARE_WITHIN) {
        return false;
      }
    }
    return true;
  }
}
