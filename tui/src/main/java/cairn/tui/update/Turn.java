package cairn.tui.update;

import cairn.collisions.Fader;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.Marks;
import cairn.tui.model.Deeds;
import cairn.tui.model.Draft;
import cairn.tui.model.Effect;
import cairn.tui.model.Kept;
import cairn.tui.model.Model;
import cairn.tui.model.Next;
import cairn.tui.model.Row;
import cairn.tui.model.Screen;
import cairn.tui.model.Song;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;

/** One update while it goes on: the model as it is being changed, and the effects so far. */
final class Turn {

  /** More messages than this are forgotten, the oldest first. */
  private static final int MOST_MESSAGES = 500;

  final Draft now;
  private final List<Effect> effects = new ArrayList<>();
  private final long selectedBefore;

  Turn(Model model) {
    now = new Draft(model);
    selectedBefore = selectedFrame();
  }

  Model model() {
    return now.model();
  }

  void effect(Effect effect) {
    effects.add(effect);
  }

  /** What came of it; a moment that is newly selected is looked into once the keys rest. */
  Next next() {
    if (selectedFrame() != selectedBefore && selectedFrame() >= 0) {
      now.moment = Optional.empty();
      now.picked = OptionalInt.empty();
      now.advised = 0;
      if (effects.stream().noneMatch(Effect.ReckonMoment.class::isInstance)) {
        effects.add(new Effect.AwaitRest(now.keys));
      }
    }
    return new Next(now.model(), effects);
  }

  /** Says something in the message row, and keeps it. */
  void say(String message) {
    now.message = Optional.of(message);
    List<String> said = new ArrayList<>(now.said);
    said.add(message);
    now.said = said.size() > MOST_MESSAGES ? said.subList(1, said.size()) : said;
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

  int rate() {
    return now.song.map(Song::sampleRateHz).orElse(48_000);
  }

  /** Makes a deed that can be undone, and says so. */
  void deed(Deeds deeds, String message) {
    if (deeds.equals(now.deeds)) {
      say(message);
      return;
    }
    List<Deeds> undone = new ArrayList<>(now.undone);
    undone.add(now.deeds);
    now.undone = undone;
    now.redoable = List.of();
    setDeeds(deeds);
    say(message);
  }

  void marks(Marks marks, String message) {
    deed(new Deeds(marks, now.deeds.done(), now.deeds.notes(), now.deeds.leftAlone()), message);
  }

  /** Puts other deeds in place: what was worked out with other marks goes. */
  void setDeeds(Deeds deeds) {
    boolean sounds =
        !deeds.marks().fixes().equals(now.deeds.marks().fixes())
            || !deeds.leftAlone().equals(now.deeds.leftAlone());
    now.deeds = deeds;
    if (sounds || !sameMarks(deeds)) {
      now.bus = Optional.empty();
      now.moment = Optional.empty();
      now.advised = 0;
      effect(new Effect.ReckonBus(deeds.marks()));
      lookInto();
    }
    refreshRows();
    save();
  }

  private boolean sameMarks(Deeds deeds) {
    return now.bus.map(bus -> bus.marks().equals(deeds.marks())).orElse(false);
  }

  /** Looks into the selected moment at once. */
  void lookInto() {
    row()
        .ifPresent(
            row ->
                effect(
                    new Effect.ReckonMoment(
                        now.deeds.marks(),
                        row.places().stream().map(Moment::peakFrame).toList(),
                        now.allAlike,
                        now.deeds.leftAlone())));
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
    if (now.readOnly.isPresent() || now.song.isEmpty()) {
      return;
    }
    now.changes++;
    effect(new Effect.Save(now.changes, kept()));
  }

  Kept kept() {
    Line line = now.song.map(song -> song.pass().line().line()).orElse(Line.DEFAULT);
    List<Fader> faders = now.song.map(song -> song.pass().session().faders()).orElse(now.faders);
    return new Kept(
        now.deeds.marks(),
        now.deeds.done(),
        now.deeds.notes(),
        now.deeds.leftAlone(),
        faders,
        now.sections,
        line,
        now.order,
        selectedFrame(),
        now.used);
  }

  /** Opens a screen; the one in front goes under it. */
  void open(Screen screen) {
    if (now.screen == screen) {
      return;
    }
    List<Screen> under = new ArrayList<>(now.under);
    under.remove(screen);
    if (now.screen != Screen.HELP) {
      under.add(now.screen);
    }
    now.under = screen == Screen.WALK ? List.of() : under;
    now.screen = screen;
    now.field = Optional.empty();
    now.message = Optional.empty();
  }

  /** Goes back to the screen under this one. */
  void back() {
    int last = now.under.size() - 1;
    now.screen = last < 0 ? Screen.WALK : now.under.get(last);
    now.under = last < 0 ? List.of() : now.under.subList(0, last);
    now.message = Optional.empty();
  }
}
