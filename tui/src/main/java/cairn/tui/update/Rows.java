package cairn.tui.update;

import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverRun;
import cairn.collisions.plan.Mark;
import cairn.tui.model.BusNow;
import cairn.tui.model.Deeds;
import cairn.tui.model.Model;
import cairn.tui.model.Row;
import cairn.tui.model.Song;
import cairn.tui.model.State;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/** The rows of the list of moments: one for all that are alike, sorted and narrowed. */
public final class Rows {

  private Rows() {}

  /** The rows as they are to be shown. */
  public static List<Row> of(Model model) {
    List<Row> rows = new ArrayList<>(all(model));
    Narrowing narrowing = Narrowing.of(model.narrowed(), model);
    rows.removeIf(row -> !narrowing.shows(row));
    switch (model.order()) {
      case EXCESS -> rows.sort(Comparator.comparingInt(row -> row.head().rank()));
      case TIME -> rows.sort(Comparator.comparingLong(row -> row.head().peakFrame()));
      case STEM ->
          rows.sort(
              Comparator.<Row>comparingInt(row -> firstStem(row.head()))
                  .thenComparingInt(row -> row.head().rank()));
    }
    return rows;
  }

  private static int firstStem(Moment moment) {
    return moment.contributions().isEmpty()
        ? Integer.MAX_VALUE
        : moment.contributions().get(0).stem();
  }

  /** All rows by rank, whatever the list is narrowed to. */
  public static List<Row> all(Model model) {
    if (model.song().isEmpty()) {
      return List.of();
    }
    Song song = model.song().get();
    Map<Integer, List<Moment>> groups = new LinkedHashMap<>();
    for (Moment moment : song.pass().moments()) {
      groups.computeIfAbsent(moment.alikeTo(), head -> new ArrayList<>()).add(moment);
    }
    Optional<BusNow> bus = model.busNow();
    Set<Long> over = bus.map(b -> overFrames(song, b)).orElse(Set.of());
    Marked marked = new Marked(model.deeds());
    List<Row> rows = new ArrayList<>();
    for (List<Moment> places : groups.values()) {
      boolean isOver = bus.isEmpty() || places.stream().anyMatch(m -> over.contains(m.peakFrame()));
      Moment head = places.get(0);
      rows.add(new Row(head, places, marked.state(head, isOver), isOver));
    }
    int rank = song.pass().moments().size();
    for (OverRun run : bus.map(BusNow::newRuns).orElse(List.of())) {
      rank++;
      Moment risen = risen(song, run, rank);
      State state = marked.state(risen, true);
      rows.add(new Row(risen, List.of(risen), state == State.TO_DECIDE ? State.NEW : state, true));
    }
    return rows;
  }

  /** A moment that marks elsewhere have raised over the line; who makes it up is not known here. */
  private static Moment risen(Song song, OverRun run, int rank) {
    return new Moment(
        rank,
        run.peakFrame(),
        run.channel(),
        run.peak(),
        song.pass().line().averagePeakAt(run.peakFrame()),
        song.pass().line().levelAt(run.peakFrame()),
        run.firstOver(),
        run.lastOver(),
        run.overFrames(),
        run.longestRun(),
        0,
        run.lastOver() - run.firstOver() + 1 > song.sampleRateHz() / 10,
        List.of());
  }

  /** Peak frames of the listed moments in whose neighbourhood something is over. */
  private static Set<Long> overFrames(Song song, BusNow bus) {
    long gap = Math.round(0.035 * song.sampleRateHz());
    List<OverRun> runs = bus.runs();
    Set<Long> over = new HashSet<>();
    for (Moment moment : song.pass().moments()) {
      long from = moment.firstOver() - gap;
      long to = moment.lastOver() + gap;
      int low = 0;
      int high = runs.size();
      while (low < high) {
        int middle = (low + high) >>> 1;
        if (runs.get(middle).lastOver() < from) {
          low = middle + 1;
        } else {
          high = middle;
        }
      }
      if (low < runs.size() && runs.get(low).firstOver() <= to) {
        over.add(moment.peakFrame());
      }
    }
    return over;
  }

  /** What was decided about each moment. */
  private static final class Marked {
    private final Deeds deeds;
    private final Map<Long, State> states = new HashMap<>();

    Marked(Deeds deeds) {
      this.deeds = deeds;
      for (Mark mark : deeds.marks().list()) {
        states.put(mark.momentFrame(), stateOf(mark));
      }
    }

    private static State stateOf(Mark mark) {
      if (mark instanceof Mark.OfFix fix) {
        return switch (fix.fix().kind()) {
          case NUDGE -> State.NUDGED;
          case TRIM -> State.TRIMMED;
          case CLIP -> State.CLIPPED;
        };
      }
      return State.FINE;
    }

    State state(Moment head, boolean isOver) {
      if (deeds.done().contains(head.peakFrame())) {
        return State.DONE;
      }
      State state = states.get(head.peakFrame());
      if (state != null) {
        return state;
      }
      return isOver ? State.TO_DECIDE : State.GONE;
    }
  }

  /** Whether a stem makes up or leads a moment. */
  static boolean takesPart(Moment moment, int stem) {
    for (int i = 0; i < moment.contributions().size(); i++) {
      Contribution c = moment.contributions().get(i);
      if (c.stem() == stem && (i < moment.depth() || c.leads())) {
        return true;
      }
    }
    return false;
  }
}
