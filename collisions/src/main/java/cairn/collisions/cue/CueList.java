package cairn.collisions.cue;

import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.fix.Fix;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverFrames;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.time.TimeNotation;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import java.util.function.Predicate;
import java.util.stream.Collectors;

/**
 * Cues in the order of time; those of one frame in the order in which their marks were made.
 *
 * @param session the session that they are about
 * @param notation how their times are written
 * @param cues the cues
 */
public record CueList(Session session, TimeNotation notation, List<Cue> cues) {

  /** More leading stems than this are counted, not named, so that a marker stays short. */
  private static final int NAMED_STEMS = 3;

  public CueList {
    Objects.requireNonNull(session, "session");
    Objects.requireNonNull(notation, "notation");
    cues = List.copyOf(cues);
  }

  /** One cue a fix and place, none of it done; moments called fine have no cue. */
  public static CueList of(Pass pass, Marks marks, TimeNotation notation) {
    return of(pass, marks, notation, Set.of());
  }

  /**
   * One cue a fix and place; moments called fine have no cue.
   *
   * @param done marks that were carried out
   */
  public static CueList of(Pass pass, Marks marks, TimeNotation notation, Set<Mark> done) {
    return new Maker(pass, notation, done).list(marks, false);
  }

  /**
   * One cue a fix and place, and one for each moment of the list that has none.
   *
   * @param done marks that were carried out
   */
  public static CueList ofAll(Pass pass, Marks marks, TimeNotation notation, Set<Mark> done) {
    return new Maker(pass, notation, done).list(marks, true);
  }

  /** Whether there is none. */
  public boolean isEmpty() {
    return cues.isEmpty();
  }

  /** Only those that are still to do. */
  public CueList withoutDone() {
    return where(cue -> !cue.done());
  }

  /** Only those of some stems. */
  public CueList ofStems(Set<Integer> stems) {
    return where(cue -> stems.contains(cue.stem()));
  }

  /** Only those of the {@code moments} moments of highest rank; cues without a rank last. */
  public CueList top(long moments) {
    Set<Long> chosen = new HashSet<>();
    cues.stream()
        .sorted(Comparator.comparingInt(cue -> cue.rank().orElse(Integer.MAX_VALUE)))
        .map(Cue::frame)
        .distinct()
        .limit(moments)
        .forEach(chosen::add);
    return where(cue -> chosen.contains(cue.frame()));
  }

  /** Indices of the stems that have cues, in session order. */
  public List<Integer> stems() {
    return cues.stream().map(Cue::stem).distinct().sorted().toList();
  }

  /** The name of a cue's stem. */
  public String stemName(Cue cue) {
    return session.stems().get(cue.stem()).name();
  }

  private CueList where(Predicate<Cue> wanted) {
    return new CueList(session, notation, cues.stream().filter(wanted).toList());
  }

  /** Makes the cues of one pass. */
  private static final class Maker {
    private final Pass pass;
    private final Session session;
    private final TimeNotation notation;
    private final Set<Mark> done;
    private final Map<Long, Moment> byFrame = new HashMap<>();

    Maker(Pass pass, TimeNotation notation, Set<Mark> done) {
      this.pass = pass;
      this.session = pass.session();
      this.notation = notation;
      this.done = Set.copyOf(done);
      pass.moments().forEach(moment -> byFrame.put(moment.peakFrame(), moment));
    }

    CueList list(Marks marks, boolean all) {
      List<Cue> cues = new ArrayList<>();
      Set<Long> marked = new HashSet<>();
      for (Mark.OfFix mark : marks.fixes()) {
        // One for each stem that moves with it: at the desk every one of them is worked on.
        mark.fix().onAll(session.yokes()).forEach(fix -> cues.add(cue(mark, fix)));
        momentAt(mark.momentFrame()).map(Moment::peakFrame).ifPresent(marked::add);
      }
      if (all) {
        Map<Long, Mark> fine = new HashMap<>();
        marks.list().stream()
            .filter(Mark.Fine.class::isInstance)
            .forEach(mark -> fine.put(mark.momentFrame(), mark));
        for (Moment moment : pass.moments()) {
          if (!marked.contains(moment.peakFrame())) {
            cues.add(cue(moment, Optional.ofNullable(fine.get(moment.peakFrame()))));
          }
        }
      }
      cues.sort(Comparator.comparingLong(Cue::frame));
      return new CueList(session, notation, cues);
    }

    private Cue cue(Mark.OfFix mark, Fix fix) {
      Optional<Moment> moment = momentAt(mark.momentFrame());
      String words = FixPhrase.of(fix, session);
      return cue(
          moment,
          mark.momentFrame(),
          fix.startFrame(),
          fix.endFrame(),
          fix.stem(),
          Optional.of(fix),
          name(fix.stem()),
          words,
          done.contains(mark),
          mark.note());
    }

    /** The moment with that peak frame; else the nearest one in whose neighbourhood it lies. */
    private Optional<Moment> momentAt(long frame) {
      Moment exact = byFrame.get(frame);
      if (exact != null) {
        return Optional.of(exact);
      }
      long gap = OverFrames.gapFrames(session.sampleRateHz());
      return pass.moments().stream()
          .filter(m -> distance(m, frame) <= gap)
          .min(Comparator.comparingLong(m -> distance(m, frame)));
    }

    private static long distance(Moment moment, long frame) {
      return Math.max(0, Math.max(moment.firstOver() - frame, frame - moment.lastOver()));
    }

    private Cue cue(Moment moment, Optional<Mark> fine) {
      List<Contribution> leading = moment.leading();
      if (leading.isEmpty()) {
        leading = moment.contributions().subList(0, 1);
      }
      String names =
          leading.stream()
              .limit(NAMED_STEMS)
              .map(c -> name(c.stem()))
              .collect(Collectors.joining(", "));
      if (leading.size() > NAMED_STEMS) {
        names += " and " + (leading.size() - NAMED_STEMS) + " more";
      }
      String kind = moment.isLong() ? "long" : moment.isLone() ? "lone peak" : "collision";
      String words =
          fine.isPresent()
              ? "fine as it is"
              : String.format(Locale.ROOT, "%s, %.1f dB over the average", kind, moment.excessDb());
      return cue(
          Optional.of(moment),
          moment.peakFrame(),
          moment.firstOver(),
          moment.lastOver() + 1,
          leading.get(0).stem(),
          Optional.empty(),
          names,
          words,
          fine.isPresent() && done.contains(fine.get()),
          fine.flatMap(Mark::note));
    }

    private Cue cue(
        Optional<Moment> moment,
        long frame,
        long start,
        long end,
        int stem,
        Optional<Fix> fix,
        String names,
        String words,
        boolean isDone,
        Optional<String> note) {
      long from = Math.max(0, Math.min(start, session.frames() - 1));
      return new Cue(
          moment.isPresent() ? OptionalInt.of(moment.get().rank()) : OptionalInt.empty(),
          frame,
          from,
          Math.max(from + 1, Math.min(end, session.frames())),
          notation.at(frame, session.sampleRateHz()),
          stem,
          fix,
          names + ": " + words,
          words,
          moment.isPresent() ? OptionalDouble.of(moment.get().excessDb()) : OptionalDouble.empty(),
          moment.map(Moment::alike).orElse(1),
          isDone,
          note);
    }

    private String name(int k) {
      return session.stems().get(k).name();
    }
  }
}
