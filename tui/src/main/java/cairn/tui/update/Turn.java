package cairn.tui.update;

import cairn.collisions.Fader;
import cairn.collisions.Settings;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.time.ClockTime;
import cairn.tui.model.Bands;
import cairn.tui.model.BusNow;
import cairn.tui.model.Deeds;
import cairn.tui.model.Draft;
import cairn.tui.model.Effect;
import cairn.tui.model.Kept;
import cairn.tui.model.Model;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Next;
import cairn.tui.model.PlanSteps;
import cairn.tui.model.Row;
import cairn.tui.model.Screen;
import cairn.tui.model.Song;
import cairn.tui.model.Spectra;
import cairn.tui.model.State;
import cairn.tui.model.StemLoudness;
import cairn.tui.model.StemSettings;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;

/**
 * One update while it goes on: the model as it is being changed, and the effects so far. However
 * many keys it takes in, the bus is asked for once, the moment once, and saved is once, all as
 * things stand at the end.
 */
final class Turn {

  /** More messages than this are forgotten, the oldest first. */
  private static final int MOST_MESSAGES = 500;

  final Draft now;

  /** The message that stood when the key came. */
  Optional<String> messageBefore = Optional.empty();

  private final List<Effect> effects = new ArrayList<>();
  private long lookedAt;
  private boolean hasMoved;
  private boolean saves;
  private boolean decides;
  private boolean sums;
  private boolean looks;

  Turn(Model model) {
    now = new Draft(model);
    lookedAt = selectedFrame();
  }

  Model model() {
    return now.model();
  }

  void effect(Effect effect) {
    effects.add(effect);
  }

  /**
   * What came of it. Saving goes first. A moment that is newly selected is looked into once the
   * keys rest, unless a key waits for it.
   */
  Next next() {
    settleSelection();
    List<Effect> all = new ArrayList<>();
    if (saves && now.readOnly.isEmpty() && now.song.isPresent()) {
      Kept kept = kept();
      now.changes++;
      now.lastKept = Optional.of(kept);
      all.add(new Effect.Save(now.changes, kept, decides));
    }
    if (now.song.isPresent()) {
      if (sums) {
        all.add(new Effect.ReckonBus(now.deeds.marks()));
      }
      look(all);
      if (now.screen == Screen.SPECTRUM) {
        spectrum(all);
      }
      if (now.screen == Screen.STEMS || (now.screen == Screen.PLAN && now.plan.isPresent())) {
        settings(all);
      }
      if (now.screen == Screen.STEMS && now.stemLoudness.isEmpty()) {
        now.stemLoudness = Optional.of(StemLoudness.PENDING);
        all.add(new Effect.MeterStems());
      }
      if (now.screen == Screen.PLAN) {
        plan(all);
      }
    }
    all.addAll(effects);
    return new Next(now.model(), all);
  }

  private void look(List<Effect> all) {
    Optional<Row> row = row();
    if (looks && row.isPresent() && model().momentNow().isEmpty()) {
      Effect.ReckonMoment wanted =
          new Effect.ReckonMoment(
              now.deeds.marks(),
              row.get().places().stream().map(Moment::peakFrame).toList(),
              now.allAlike,
              now.deeds.leftAlone());
      if (!now.asked.equals(Optional.of(wanted))) {
        now.asked = Optional.of(wanted);
        all.add(wanted);
      }
    } else if (hasMoved) {
      all.add(new Effect.AwaitRest(now.keys));
    }
  }

  /** What the spectrum shows is worked out once it is looked at. */
  private void spectrum(List<Effect> all) {
    if (now.spectra.isEmpty()) {
      now.spectra = Optional.of(Spectra.PENDING);
      all.add(new Effect.MeasureSpectra());
    }
    Optional<MomentNow> moment = model().momentNow();
    if (moment.isEmpty()) {
      return;
    }
    MomentNow.Pile pile = moment.get().pile();
    boolean isThere =
        now.bands
            .map(b -> b.peakFrame() == pile.peakFrame() && b.marks().equals(now.deeds.marks()))
            .orElse(false);
    if (!isThere) {
      now.bands = Optional.of(new Bands(now.deeds.marks(), pile.peakFrame(), List.of()));
      all.add(
          new Effect.ReckonBands(
              now.deeds.marks(),
              pile.peakFrame(),
              pile.contributions().stream()
                  .filter(Contribution::leads)
                  .map(Contribution::stem)
                  .toList()));
    }
  }

  /** What one setting of a stem would do is worked out once the stems are looked at. */
  private void settings(List<Effect> all) {
    Set<Integer> leftAlone = now.deeds.leftAlone();
    if (!now.stemSettings.map(StemSettings::leftAlone).equals(Optional.of(leftAlone))) {
      now.stemSettings = Optional.of(StemSettings.pending(leftAlone));
      all.add(new Effect.TrySettings(leftAlone));
    }
  }

  /** What the rows of the plan come to, where the plan does not tell. */
  private void plan(List<Effect> all) {
    Optional<List<List<Mark.OfFix>>> steps = PlanRow.toSum(model());
    if (steps.isEmpty()) {
      now.planSteps = Optional.empty();
    } else if (!now.planSteps.map(PlanSteps::steps).equals(steps)) {
      now.planSteps = Optional.of(PlanSteps.pending(steps.get(), now.planSteps));
      all.add(new Effect.SumPlan(now.deeds.marks(), steps.get()));
    }
  }

  /** What belonged to a moment goes when another one is selected. */
  void settleSelection() {
    if (selectedFrame() != lookedAt) {
      lookedAt = selectedFrame();
      hasMoved = true;
      now.moment = Optional.empty();
      now.picked = OptionalInt.empty();
      now.advised = 0;
    }
  }

  /** Says something in the message row, and keeps it. */
  void say(String message) {
    now.message = Optional.of(message);
    List<String> said = new ArrayList<>(now.said);
    said.add(message);
    now.said = said.size() > MOST_MESSAGES ? said.subList(1, said.size()) : said;
  }

  /** Says something each time that it is of use, and keeps it once. */
  void remind(String message) {
    if (now.said.contains(message)) {
      now.message = Optional.of(message);
    } else {
      say(message);
    }
  }

  /** Says something in place of what was just said. */
  void replace(String message) {
    if (!now.said.isEmpty()) {
      now.said = now.said.subList(0, now.said.size() - 1);
    }
    say(message);
  }

  /** A tip was used: it is not given again. */
  void used(String tip) {
    if (!now.used.contains(tip)) {
      Set<String> used = new HashSet<>(now.used);
      used.add(tip);
      now.used = used;
    }
  }

  Optional<Row> row() {
    int at = now.selectedOn(Screen.WALK);
    return at < now.rows.size() ? Optional.of(now.rows.get(at)) : Optional.empty();
  }

  /** Peak frame of the selected moment; −1: none. */
  long selectedFrame() {
    return row().map(row -> row.head().peakFrame()).orElse(-1L);
  }

  /** Peak frames that a deed at the selected row goes to: all alike, or the head alone. */
  List<Long> framesOf(Row row) {
    return now.allAlike
        ? row.places().stream().map(Moment::peakFrame).toList()
        : List.of(row.head().peakFrame());
  }

  String stem(int k) {
    return now.song.map(song -> song.stems().get(k)).orElse("stem " + (k + 1));
  }

  String time(long frame) {
    return ClockTime.of(frame, rate());
  }

  int rate() {
    return now.song.map(Song::sampleRateHz).orElse(48_000);
  }

  /** Makes a deed that can be undone, and says so. */
  void deed(Deeds deeds, String message) {
    if (deeds.equals(now.deeds)) {
      say(message);
      return;
    }
    boolean wasOpen = isOpen();
    List<Deeds> undone = new ArrayList<>(now.undone);
    undone.add(now.deeds);
    now.undone = undone;
    now.redoable = List.of();
    setDeeds(deeds);
    say(
        wasOpen && !isOpen() && now.screen == Screen.WALK
            ? message.replace("; u undoes it", "") + "; " + Verdicts.allDecided(model())
            : message);
  }

  private boolean isOpen() {
    return now.rows.stream().map(Row::state).anyMatch(State::isOpen);
  }

  /** Other marks; a place that has none any more, or another, is not done at the desk. */
  void marks(Marks marks, String message) {
    Set<Mark> stay = new HashSet<>(now.deeds.marks().list());
    stay.retainAll(marks.list());
    Set<Long> done = new HashSet<>();
    for (Mark mark : stay) {
      if (now.deeds.done().contains(mark.momentFrame())) {
        done.add(mark.momentFrame());
      }
    }
    deed(now.deeds.withMarks(marks).withDone(done), message);
  }

  /** Puts other deeds in place: what was worked out with other marks goes. */
  void setDeeds(Deeds deeds) {
    Deeds old = now.deeds;
    now.deeds = deeds;
    boolean sameSound = deeds.sounding().equals(old.sounding());
    boolean sameFine = deeds.marks().fineFrames().equals(old.marks().fineFrames());
    boolean sameStems = deeds.leftAlone().equals(old.leftAlone());
    if (!deeds.marks().equals(old.marks())) {
      // Notes and what is called fine cannot be heard: the sum stays.
      Optional<BusNow> same = now.bus.filter(bus -> sameSound && bus.marks().equals(old.marks()));
      now.bus = same.map(bus -> bus.with(deeds.marks()));
      sums |= now.bus.isEmpty();
    }
    if (!deeds.marks().equals(old.marks()) || !sameStems) {
      Optional<MomentNow> same =
          now.moment.filter(
              m -> sameSound && sameFine && sameStems && m.marks().equals(old.marks()));
      now.moment = same.map(m -> m.with(deeds.marks()));
      if (now.moment.isEmpty()) {
        now.advised = 0;
        looks = true;
      }
    }
    if (deeds.withFaders(old.faders()).equals(old)) {
      // Collected faders change nothing else, and are kept once they are summed.
      return;
    }
    save();
    PlanDeeds.follow(this);
    refreshRows();
  }

  /** The bus with the marks there are is asked for. */
  void sum() {
    sums = true;
  }

  /** Looks into the selected moment at once, not only once the keys rest. */
  void lookInto() {
    looks = true;
  }

  /** Sorts and narrows the list anew; the selected moment stays selected. */
  void refreshRows() {
    long selected = selectedFrame();
    now.rows = Rows.of(now.model());
    selectFrame(selected);
  }

  /** Selects the row that holds a moment; if none does, the row at the same place. */
  boolean selectFrame(long frame) {
    for (int i = 0; i < now.rows.size(); i++) {
      for (Moment place : now.rows.get(i).places()) {
        if (place.peakFrame() == frame) {
          now.select(Screen.WALK, i);
          return true;
        }
      }
    }
    int at = now.selectedOn(Screen.WALK);
    now.select(Screen.WALK, Math.max(0, Math.min(at, now.rows.size() - 1)));
    return false;
  }

  /** Saves what is to be kept. */
  void save() {
    saves = true;
    decides = true;
  }

  /** Saves what is to be kept if it differs from what was saved: where one stands, tips. */
  void saveChanges() {
    saves |= !now.lastKept.equals(Optional.of(kept()));
  }

  Kept kept() {
    Settings settings = now.song.map(song -> song.pass().settings()).orElse(Settings.DEFAULT);
    List<Fader> faders =
        now.song.map(song -> song.pass().session().faders()).orElse(now.deeds.faders());
    return new Kept(
        now.deeds.marks(),
        now.deeds.done(),
        now.deeds.notes(),
        now.deeds.leftAlone(),
        faders,
        now.sections,
        settings,
        now.order,
        selectedFrame(),
        now.used);
  }

  /** Opens a screen; the help stays about the one in front. */
  void open(Screen screen) {
    if (now.screen == screen) {
      return;
    }
    now.under = screen == Screen.HELP ? Optional.of(now.screen) : Optional.empty();
    now.screen = screen;
    now.field = Optional.empty();
    now.message = Optional.empty();
    if (screen == Screen.STEMS) {
      now.stemsNarrowed = "";
    }
  }

  /** Goes back to the walk; from the help to the screen that it is about. */
  void back() {
    now.screen = now.under.orElse(Screen.WALK);
    now.under = Optional.empty();
    now.field = Optional.empty();
    now.message = Optional.empty();
  }
}
