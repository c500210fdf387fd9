package cairn.tui.update;

import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverRun;
import cairn.collisions.plan.Mark;
import cairn.tui.model.BusNow;
import cairn.tui.model.Earlier;
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

/**
 * The rows of the list of moments, sorted and narrowed: one for all that are alike and stand the
 * same, so that what a fix leaves of them has its own row, and can be decided.
 */
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
    // While the sum with the marks there are is not there, what is over stays as it was last known:
    // the list does not jump with every key.
    Optional<BusNow> bus = model.busNow().or(model::lastBus);
    Listed listed = Listed.of(model);
    Set<Long> over = new HashSet<>();
    bus.ifPresent(b -> b.runs().forEach(run -> over.add(listed.frameOf(run.peakFrame()))));
    if (bus.isPresent() && model.busNow().isEmpty()) {
      // What a mark had cleared may be over without it.
      bus.get().marks().fixes().forEach(mark -> over.add(listed.frameOf(mark.momentFrame())));
    }
    Marked marked = new Marked(model, listed);
    List<Row> rows = new ArrayList<>();
    for (List<Moment> alike : groups.values()) {
      Map<State, List<Moment>> places = new LinkedHashMap<>();
      for (Moment moment : alike) {
        boolean isOver = bus.isEmpty() || over.contains(moment.peakFrame());
        places
            .computeIfAbsent(marked.state(moment, isOver), state -> new ArrayList<>())
            .add(moment);
      }
      places.forEach(
          (state, moments) ->
              rows.add(
                  new Row(
                      moments.get(0),
                      moments,
                      state,
                      bus.isEmpty()
                          || moments.stream().anyMatch(m -> over.contains(m.peakFrame())))));
    }
    for (Moment gone : song.earlier().map(Earlier::gone).orElse(List.of())) {
      rows.add(new Row(gone, List.of(gone), marked.state(gone, false), false));
    }
    rows.sort(Comparator.comparingInt(row -> row.head().rank()));
    int rank = song.pass().moments().size() + song.earlier().map(e -> e.gone().size()).orElse(0);
    for (OverRun run : bus.map(BusNow::newRuns).orElse(List.of())) {
      rank++;
      Moment risen = risen(song, run, rank);
      State state = marked.state(risen, true);
      rows.add(new Row(risen, List.of(risen), state.isOpen() ? State.NEW : state, true));
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

  /** What was decided about each moment. */
  private static final class Marked {
    private final Map<Long, State> states = new HashMap<>();
    private final Optional<Earlier> earlier;

    Marked(Model model, Listed listed) {
      earlier = model.song().flatMap(Song::earlier);
      for (Mark mark : model.deeds().marks().list()) {
        states.put(listed.frameOf(mark.momentFrame()), stateOf(mark));
      }
      for (long frame : model.deeds().done()) {
        states.put(listed.frameOf(frame), State.DONE);
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

    State state(Moment moment, boolean isOver) {
      State state = states.get(moment.peakFrame());
      if (state != null) {
        return state;
      }
      return isOver ? earlier.map(e -> since(e, moment)).orElse(State.TO_DECIDE) : State.GONE;
    }

    /** What became of it since the pass before; of what was gone at the line of that: to decide. */
    private static State since(Earlier earlier, Moment moment) {
      return earlier
          .fate(moment.peakFrame())
          .map(
              fate ->
                  switch (fate.state()) {
                    case LOWER -> State.LOWER;
                    case STILL -> State.STILL;
                    case GONE, NEW -> State.TO_DECIDE;
                  })
          .orElse(State.NEW);
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
