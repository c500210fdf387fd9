package cairn.tui.effect;

import cairn.collisions.Fader;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.TimeRange;
import cairn.collisions.Yokes;
import cairn.collisions.plan.EarlierPass;
import cairn.collisions.plan.Mark;
import cairn.collisions.time.TempoMap;
import cairn.io.files.SafeText;
import cairn.io.session.MomentNote;
import cairn.io.session.NamedSection;
import cairn.io.session.OpenSession;
import cairn.io.session.Preferences;
import cairn.io.session.SavedPass;
import cairn.io.session.SavedSession;
import cairn.io.session.SavedSettings;
import cairn.io.session.SavedView;
import cairn.io.session.StemMatch;
import cairn.io.session.StemRef;
import cairn.io.stems.StemSet;
import cairn.tui.model.Kept;
import cairn.tui.model.Order;
import cairn.tui.model.Song;
import java.io.IOException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.function.Supplier;

/** Between what the screens keep and what the session file holds. */
final class Keeping {

  private final OpenSession open;
  private final StemMatch match;
  private SavedSession saved;
  private final boolean isForeign;
  private final boolean isNew;
  private volatile SavedSettings asked;
  private volatile Yokes yokes;
  private volatile Preferences preferences;
  private List<SavedPass> before = List.of();
  private Optional<SavedPass> current = Optional.empty();
  private Optional<Supplier<SavedPass>> later = Optional.empty();
  private boolean precedes;
  private boolean hasSaved;

  /**
   * @param since the session of an earlier export, which goes on here where none was begun
   * @param usual goal, limits and notation for a session that is new
   */
  Keeping(
      OpenSession open,
      StemSet set,
      Session session,
      Optional<SavedSession> since,
      Preferences usual) {
    this.open = open;
    isForeign = open.found().isEmpty() && since.map(s -> !s.passes().isEmpty()).orElse(false);
    isNew = open.found().isEmpty() && !isForeign;
    List<StemRef> refs = StemRef.of(set);
    saved =
        open.found()
            .or(() -> isForeign ? since : Optional.empty())
            .orElseGet(
                () ->
                    SavedSession.of(
                        set.folder().toString(),
                        session.sampleRateHz(),
                        refs,
                        session.faders(),
                        usual));
    match = saved.match(refs);
    asked = saved.settings();
    yokes = Yokes.of(saved.yokes(match));
    preferences = saved.preferences();
  }

  OpenSession open() {
    return open;
  }

  /** Stems that were renamed, are missing or new, a line each. */
  List<String> lines() {
    return isNew ? List.of() : match.lines();
  }

  boolean isNew() {
    return isNew;
  }

  /** Whether it is the session of an earlier export that goes on here. */
  boolean isForeign() {
    return isForeign;
  }

  /** Whether no pass is known but at most one over these very stems. */
  boolean isAlone() {
    return !isForeign && saved.passes().size() < 2;
  }

  /** The passes that are known. */
  synchronized List<SavedPass> passes() {
    return saved.passes();
  }

  /** Puts passes over other stems before all that is known. */
  synchronized void precede(List<SavedPass> passes) {
    saved = saved.withPasses(passes);
    precedes = true;
  }

  /** A further pass begins; what was marked for stems of another folder went with its passes. */
  synchronized void nextPass(long shiftFrames) {
    saved = precedes ? saved : saved.withNextPass(shiftFrames);
  }

  /** The passes before this one. */
  synchronized void before(List<SavedPass> passesBefore) {
    before = List.copyOf(passesBefore);
  }

  /**
   * This pass as it is now; made once it is to be saved, since a picture waits for it otherwise.
   */
  synchronized void current(Supplier<SavedPass> now) {
    later = Optional.of(now);
  }

  private synchronized Optional<SavedPass> current() {
    if (later.isPresent()) {
      current = Optional.of(later.get().get());
      later = Optional.empty();
    }
    return current;
  }

  /** What the marks tell; of another analysis than the last: nothing. */
  synchronized void tells(EarlierPass told) {
    current =
        current()
            .map(now -> now.moments().size() == told.moments().size() ? now.withTold(told) : now);
  }

  private synchronized List<SavedPass> allPasses() {
    List<SavedPass> all = new ArrayList<>(before);
    current().ifPresent(all::add);
    return all;
  }

  /** Saves what the marks tell, where anything was saved before. */
  void saveTold() throws IOException {
    if (hasSaved) {
      saved = saved.withPasses(allPasses());
      open.save(saved);
    }
  }

  List<Fader> faders(Session session) {
    return saved.faders(match, session.faders());
  }

  /**
   * The yokes, kept from now on.
   *
   * @param others in place of those that there are; empty: those that there are
   * @param more yokes that are added to them
   */
  Yokes yokes(Optional<Yokes> others, Yokes more) {
    Yokes all = others.orElse(yokes);
    for (List<Integer> group : more.groups()) {
      all = all.with(group);
    }
    yokes = all;
    return all;
  }

  SavedSettings settings() {
    return saved.settings();
  }

  /** The tempo that times are shown by. */
  Optional<TempoMap> tempo() {
    return asked.tempo();
  }

  /** From now on the session is kept with what was asked of the analysis that is shown. */
  void asks(Settings settings, Optional<TempoMap> tempo, double monoGainDb) {
    asked = new SavedSettings(settings, tempo, monoGainDb, asked.unknown());
  }

  /** Goal, limits and notation. */
  Preferences preferences() {
    return preferences;
  }

  /** From now on the session is kept with other ones. */
  void prefers(Preferences other) {
    preferences = other;
  }

  /** What was kept, in the terms of the stems that are there. */
  Kept kept(Session session) {
    var marks = saved.marks(match);
    Set<Long> done = new HashSet<>();
    saved.done(match).forEach(mark -> done.add(mark.momentFrame()));
    Map<Long, String> notes = new HashMap<>();
    saved.notes().forEach(note -> notes.put(note.momentFrame(), note.text()));
    marks
        .list()
        .forEach(mark -> mark.note().ifPresent(text -> notes.put(mark.momentFrame(), text)));
    return new Kept(
        marks,
        done,
        notes,
        saved.leftAlone(match),
        session.faders(),
        saved.sections().stream()
            .map(
                s ->
                    new Song.Section(
                        SafeText.of(s.name()), s.range().firstFrame(), s.range().endFrame()))
            .toList(),
        asked.asked(),
        Order.valueOf(saved.view().order().name()),
        saved.view().momentFrame().orElse(-1),
        new HashSet<>(saved.tipsUsed()));
  }

  /** Saves; empty: nothing is to be said. */
  Optional<String> save(Kept kept) throws IOException {
    SavedSession fresh =
        saved
            .withMarks(kept.marks(), done(kept), match)
            .withStems(kept.faders(), kept.leftAlone(), match)
            .withYokes(yokes.groups(), match)
            .withSections(sections(kept))
            .withSettings(settings(kept))
            .withPreferences(preferences)
            .withView(
                saved
                    .view()
                    .withOrder(SavedView.Order.valueOf(kept.order().name()))
                    .withMoment(
                        kept.selectedFrame() < 0
                            ? OptionalLong.empty()
                            : OptionalLong.of(kept.selectedFrame())))
            .withNotes(notes(kept))
            .withPasses(allPasses());
    for (String tip : kept.used()) {
      fresh = fresh.withTipUsed(tip);
    }
    Optional<String> said = open.save(fresh);
    saved = fresh;
    hasSaved = true;
    return said;
  }

  private SavedSettings settings(Kept kept) {
    SavedSettings now = asked;
    return new SavedSettings(kept.settings(), now.tempo(), now.monoGainDb(), now.unknown());
  }

  private static Set<Mark> done(Kept kept) {
    Set<Mark> done = new LinkedHashSet<>();
    for (Mark mark : kept.marks().list()) {
      if (kept.done().contains(mark.momentFrame())) {
        done.add(mark);
      }
    }
    return done;
  }

  /** Sections that were there keep the fields of a later version. */
  private List<NamedSection> sections(Kept kept) {
    List<NamedSection> sections = new ArrayList<>();
    for (Song.Section section : kept.sections()) {
      NamedSection fresh =
          new NamedSection(section.name(), new TimeRange(section.firstFrame(), section.endFrame()));
      sections.add(
          saved.sections().stream()
              .filter(
                  old ->
                      SafeText.of(old.name()).equals(fresh.name())
                          && old.range().equals(fresh.range()))
              .findFirst()
              .orElse(fresh));
    }
    return sections;
  }

  private List<MomentNote> notes(Kept kept) {
    Set<Long> marked = new HashSet<>();
    kept.marks().list().forEach(mark -> marked.add(mark.momentFrame()));
    List<MomentNote> notes = new ArrayList<>();
    kept.notes().entrySet().stream()
        .filter(note -> !marked.contains(note.getKey()))
        .sorted(Map.Entry.comparingByKey())
        .forEach(
            note ->
                notes.add(
                    saved.notes().stream()
                        .filter(
                            old ->
                                old.momentFrame() == note.getKey()
                                    && old.text().equals(note.getValue()))
                        .findFirst()
                        .orElse(new MomentNote(note.getKey(), note.getValue()))));
    return notes;
  }
}
