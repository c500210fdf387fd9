package cairn.tui.model;

import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.check.Finding;
import cairn.collisions.fix.FixApplier;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.Advice;
import cairn.collisions.plan.Plan;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;

/**
 * All that the screens show.
 *
 * @param size the window
 * @param look what the terminal can show
 * @param screen the screen in front
 * @param under the screen that the help was asked for on; from any other one goes back to the walk
 * @param title what is being read, safe to show
 * @param work long work that runs
 * @param song the analysis; empty: still being read
 * @param deeds what was decided
 * @param undone earlier deeds, the latest last
 * @param redoable deeds that were undone, the latest last
 * @param bus the bus with the deeds' marks; another bus's figures are never kept
 * @param moment the selected moment looked into; empty: being worked out
 * @param plan the plan for the deeds' marks
 * @param rows the list as sorted and narrowed
 * @param selected index of the selected row on each screen that has rows, 0 where there is none
 * @param picked index of the picked stem; empty: the first of the pile
 * @param advised which of the moment's advice is proposed
 * @param allAlike whether a deed goes to all alike, or to the selected moment alone
 * @param whatIf whether marks are applied in what is shown
 * @param stepSize 0: 1 sample, 1: 0.1 ms, 2: 1 ms
 * @param zoom close-up width, 0 the narrowest
 * @param breadth breadth of the map: 0 song, 1 section, 2 16 s
 * @param order how the list is sorted
 * @param narrowed what the list is narrowed to; empty text: all
 * @param field a text field that is open
 * @param message the message row; empty: the verdict is said
 * @param said all messages so far, the latest last
 * @param notes what is to know about the stems
 * @param readOnly why nothing can be saved; empty: it can
 * @param unsaved why the latest change is not saved; empty: it is, or is about to be
 * @param used tips that were used once
 * @param keys how many keys have been pressed
 * @param waiting keys and pastes that wait for a figure, in order
 * @param changes how many changes have been made that are to be saved
 * @param sections named sections of the song
 * @param planTaken rows of the plan that were taken
 * @param planDropped rows of the plan that were dropped
 * @param lineDraft the line as moved on the ladder, until Enter draws it
 * @param counted how many moments {@code lineDraft} would leave
 * @param helpFilter what the help is searched for
 * @param stemsNarrowed what the Stems screen is narrowed to; empty text: all
 * @param lastBus the bus as it was last summed, whatever its marks: states of the list alone are
 *     taken from it, until the sum with the marks there are is there; no figure
 * @param asked what is being looked into, so that it is not asked for twice
 * @param lastKept what was last given to be saved
 * @param planFor the deeds that the plan is, or is being, made for
 * @param findings what the check found, the heaviest first; empty: it goes on
 * @param spectra what bus and reference are like; empty: not asked for yet
 * @param stemLoudness the loudness of each stem; empty: not asked for yet
 * @param bands where the energy sits at the selected moment; empty: not asked for yet
 * @param planOthers fixes that were chosen in place of planned ones, by the plan's rows
 * @param planSteps what the rows of the plan come to, where the plan itself does not tell
 * @param stemSettings what one setting of a stem would do; empty: not asked for yet
 */
public record Model(
    Size size,
    Look look,
    Screen screen,
    Optional<Screen> under,
    String title,
    Optional<Work> work,
    Optional<Song> song,
    Deeds deeds,
    List<Deeds> undone,
    List<Deeds> redoable,
    Optional<BusNow> bus,
    Optional<MomentNow> moment,
    Optional<Plan> plan,
    List<Row> rows,
    Map<Screen, Integer> selected,
    OptionalInt picked,
    int advised,
    boolean allAlike,
    boolean whatIf,
    int stepSize,
    int zoom,
    int breadth,
    Order order,
    String narrowed,
    Optional<TextField> field,
    Optional<String> message,
    List<String> said,
    List<String> notes,
    Optional<String> readOnly,
    Optional<String> unsaved,
    Set<String> used,
    long keys,
    List<Event> waiting,
    long changes,
    List<Song.Section> sections,
    Set<Integer> planTaken,
    Set<Integer> planDropped,
    Optional<Line> lineDraft,
    OptionalInt counted,
    String helpFilter,
    String stemsNarrowed,
    Optional<BusNow> lastBus,
    Optional<Effect.ReckonMoment> asked,
    Optional<Kept> lastKept,
    Optional<Deeds> planFor,
    Optional<List<Finding>> findings,
    Optional<Spectra> spectra,
    Optional<StemLoudness> stemLoudness,
    Optional<Bands> bands,
    Map<Integer, Advice> planOthers,
    Optional<PlanSteps> planSteps,
    Optional<StemSettings> stemSettings) {

  /** What is said of a moment is read within 35 ms and some frames about it. */
  private static final long NEAR_MILLIS = 50;

  public Model {
    undone = List.copyOf(undone);
    redoable = List.copyOf(redoable);
    rows = List.copyOf(rows);
    selected = Map.copyOf(selected);
    said = List.copyOf(said);
    notes = List.copyOf(notes);
    used = Set.copyOf(used);
    waiting = List.copyOf(waiting);
    sections = List.copyOf(sections);
    planTaken = Set.copyOf(planTaken);
    planDropped = Set.copyOf(planDropped);
    findings = findings.map(List::copyOf);
    planOthers = Map.copyOf(planOthers);
  }

  /** The walk as it comes up, before anything is read. */
  public static Model start(Size size, Look look, String title) {
    return new Model(
        size,
        look,
        Screen.WALK,
        Optional.empty(),
        title,
        Optional.empty(),
        Optional.empty(),
        Deeds.NONE,
        List.of(),
        List.of(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        List.of(),
        Map.of(),
        OptionalInt.empty(),
        0,
        true,
        true,
        0,
        1,
        0,
        Order.EXCESS,
        "",
        Optional.empty(),
        Optional.empty(),
        List.of(),
        List.of(),
        Optional.empty(),
        Optional.empty(),
        Set.of(),
        0,
        List.of(),
        0,
        List.of(),
        Set.of(),
        Set.of(),
        Optional.empty(),
        OptionalInt.empty(),
        "",
        "",
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Map.of(),
        Optional.empty(),
        Optional.empty());
  }

  /** Index of the selected row of the screen in front. */
  public int selectedRow() {
    return selectedOn(screen);
  }

  /** Index of the selected row of a screen. */
  public int selectedOn(Screen of) {
    return selected.getOrDefault(of, 0);
  }

  /** The selected row of the list of moments, whatever screen is in front. */
  public Optional<Row> row() {
    int at = selectedOn(Screen.WALK);
    return at < rows.size() ? Optional.of(rows.get(at)) : Optional.empty();
  }

  /** The selected moment looked into, if that was done with the marks there are. */
  public Optional<MomentNow> momentNow() {
    return moment.filter(
        m ->
            m.marks().equals(deeds.marks())
                && m.allAlike() == allAlike
                && row().map(r -> isOf(r, m)).orElse(false));
  }

  /**
   * The pile of the selected moment: as it was looked into; while that goes on, as it was found,
   * where no mark sounds so near that it could be another.
   */
  public Optional<MomentNow.Pile> pile() {
    Optional<MomentNow> now = momentNow();
    return now.isPresent()
        ? now.map(MomentNow::pile)
        : row()
            .map(Row::head)
            .filter(head -> isAskedFor(head) && isAsFound(head))
            .map(MomentNow.Pile::of);
  }

  private boolean isAskedFor(Moment head) {
    return asked
        .filter(a -> a.marks().equals(deeds.marks()))
        .filter(a -> a.momentFrames().get(0) == head.peakFrame())
        .isPresent();
  }

  private boolean isAsFound(Moment head) {
    Pass pass = song.orElseThrow().pass();
    long near = pass.session().sampleRateHz() * NEAR_MILLIS / 1000;
    return pass.moments().contains(head)
        && deeds.marks().fixes().stream()
            .noneMatch(
                mark ->
                    FixApplier.reads(mark.fix(), pass.session().sampleRateHz(), pass.range())
                        .filter(
                            reads ->
                                reads.firstFrame() <= head.lastOver() + near
                                    && reads.endFrame() > head.firstOver() - near)
                        .isPresent());
  }

  private static boolean isOf(Row row, MomentNow moment) {
    Set<Long> frames = new HashSet<>();
    row.places().forEach(place -> frames.add(place.peakFrame()));
    return row.head().peakFrame() == moment.momentFrame()
        && moment.places().stream().allMatch(place -> frames.contains(place.momentFrame()));
  }

  /** The bus, if it was summed with the marks there are. */
  public Optional<BusNow> busNow() {
    return bus.filter(b -> b.marks().equals(deeds.marks()));
  }

  /** The picked stem; empty: no pile is there yet, or nothing is picked in it. */
  public OptionalInt pickedStem() {
    if (picked.isPresent()) {
      return picked;
    }
    return momentNow()
        .map(
            m ->
                m.advice().isEmpty()
                    ? m.pile().contributions().stream().mapToInt(Contribution::stem).findFirst()
                    : OptionalInt.of(m.advice().get(adviceIndex(m)).stem()))
        .orElse(OptionalInt.empty());
  }

  /** The advice that is proposed; empty: none, or not there yet. */
  public Optional<Advice> proposed() {
    return momentNow().filter(m -> !m.advice().isEmpty()).map(m -> m.advice().get(adviceIndex(m)));
  }

  private int adviceIndex(MomentNow m) {
    return Math.min(advised, m.advice().size() - 1);
  }

  /** Whether the stems were not read, or that was cancelled: there is nothing more to wait for. */
  public boolean isUnread() {
    return song.isEmpty()
        && work.isEmpty()
        && said.stream().anyMatch(text -> text.startsWith("stopped:"));
  }

  /** Faders as collected on the Stems screen; those of the song until one is changed. */
  public List<Fader> faders() {
    return deeds.faders().isEmpty()
        ? song.map(s -> s.pass().session().faders()).orElse(List.of())
        : deeds.faders();
  }

  /** Whether faders were changed since the stems were summed. */
  public boolean isToSumAgain() {
    return song.isPresent() && !faders().equals(song.get().pass().session().faders());
  }
}
