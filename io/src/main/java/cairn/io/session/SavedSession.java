package cairn.io.session;

import cairn.collisions.Fader;
import cairn.collisions.TimeRange;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Collections;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;

/**
 * All that is kept of a session from one opening to the next. Stems are known by name and file; a
 * {@link StemMatch} finds them among those that are there. What was set and marked for a stem that
 * is missing stays.
 *
 * @param folder the stems' folder: {@code .} where the file lies in it, else absolute; not made
 *     safe to show
 * @param sampleRateHz sample rate that all frames count in, in Hz
 * @param stems the stems with what was set for them
 * @param yokes stems that move together; no stem is in two
 * @param sections named parts of the song
 * @param settings what is asked of the analysis
 * @param preferences goal, limits and notation
 * @param view where the engineer was
 * @param marks in the order in which they were made; no two have an equal deed
 * @param notes notes on moments without a mark
 * @param tipsUsed tips that need not be given again
 * @param passes all passes, from the first
 * @param unknown fields of a later version
 */
public record SavedSession(
    String folder,
    int sampleRateHz,
    List<SavedStem> stems,
    List<Yoke> yokes,
    List<NamedSection> sections,
    SavedSettings settings,
    Preferences preferences,
    SavedView view,
    List<SavedMark> marks,
    List<MomentNote> notes,
    Set<String> tipsUsed,
    List<SavedPass> passes,
    Unknown unknown) {

  /**
   * Most moments that are kept of passes before the last two, the latest first. Nothing is compared
   * with them any more, and the file is written at every change.
   */
  private static final int MOST_OLD_MOMENTS = 2_000;

  public SavedSession {
    Objects.requireNonNull(folder, "folder");
    Objects.requireNonNull(settings, "settings");
    Objects.requireNonNull(preferences, "preferences");
    Objects.requireNonNull(view, "view");
    Objects.requireNonNull(unknown, "unknown");
    stems = List.copyOf(stems);
    yokes = List.copyOf(yokes);
    sections = List.copyOf(sections);
    marks = List.copyOf(marks);
    notes = List.copyOf(notes);
    tipsUsed = Collections.unmodifiableSet(new LinkedHashSet<>(tipsUsed));
    passes = List.copyOf(passes);
    if (sampleRateHz < 1) {
      throw new IllegalArgumentException("sampleRate must be >= 1: sampleRate=" + sampleRateHz);
    }
    Set<StemRef> refs = new HashSet<>();
    for (SavedStem stem : stems) {
      if (!refs.add(stem.ref())) {
        throw new IllegalArgumentException("stems must differ: stem=" + stem.ref().name());
      }
    }
    Set<StemRef> yoked = new HashSet<>();
    for (Yoke yoke : yokes) {
      for (StemRef ref : yoke.stems()) {
        if (!yoked.add(ref)) {
          throw new IllegalArgumentException("no stem may be in two yokes: stem=" + ref.name());
        }
      }
    }
    Set<Object> deeds = new HashSet<>();
    for (SavedMark mark : marks) {
      if (!deeds.add(List.of(mark.stem(), mark.mark()))) {
        throw new IllegalArgumentException(
            "marks must differ from each other: moment=" + mark.mark().momentFrame());
      }
    }
  }

  /**
   * A new session.
   *
   * @param folder the stems' folder, as {@link #folder}
   * @param sampleRateHz sample rate in Hz
   * @param stems what the stems are known by, in session order
   * @param faders their faders, in the same order
   * @param preferences the defaults
   */
  public static SavedSession of(
      String folder,
      int sampleRateHz,
      List<StemRef> stems,
      List<Fader> faders,
      Preferences preferences) {
    List<SavedStem> saved = new ArrayList<>();
    for (int k = 0; k < stems.size(); k++) {
      saved.add(new SavedStem(stems.get(k), faders.get(k), false));
    }
    return new SavedSession(
        folder,
        sampleRateHz,
        saved,
        List.of(),
        List.of(),
        SavedSettings.DEFAULT,
        preferences,
        SavedView.DEFAULT,
        List.of(),
        List.of(),
        Set.of(),
        List.of(),
        Unknown.NONE);
  }

  /** Every stem that is named anywhere but in the passes, each once. */
  public List<StemRef> refs() {
    Set<StemRef> refs = new LinkedHashSet<>();
    stems.forEach(stem -> refs.add(stem.ref()));
    yokes.forEach(yoke -> refs.addAll(yoke.stems()));
    marks.forEach(mark -> mark.stem().ifPresent(refs::add));
    return List.copyOf(refs);
  }

  /** Finds its stems among those that are there. */
  public StemMatch match(List<StemRef> now) {
    return StemMatch.of(refs(), now);
  }

  /**
   * The faders of the stems that are there; of one that is new to the session, that of {@code
   * plain}.
   */
  public List<Fader> faders(StemMatch match, List<Fader> plain) {
    List<Fader> faders = new ArrayList<>(plain);
    for (SavedStem stem : stems) {
      match.indexOf(stem.ref()).ifPresent(k -> faders.set(k, stem.fader()));
    }
    return faders;
  }

  /** Indices of the stems that are there and that no fix may touch. */
  public Set<Integer> leftAlone(StemMatch match) {
    Set<Integer> leftAlone = new LinkedHashSet<>();
    for (SavedStem stem : stems) {
      if (stem.leftAlone()) {
        match.indexOf(stem.ref()).ifPresent(leftAlone::add);
      }
    }
    return leftAlone;
  }

  /** Yokes of the stems that are there, as indices; one that only one stem is left of is none. */
  public List<List<Integer>> yokes(StemMatch match) {
    List<List<Integer>> indices = new ArrayList<>();
    for (Yoke yoke : yokes) {
      List<Integer> there = new ArrayList<>();
      yoke.stems().forEach(ref -> match.indexOf(ref).ifPresent(there::add));
      if (there.size() > 1) {
        indices.add(List.copyOf(there));
      }
    }
    return indices;
  }

  /** The marks on stems that are there, and those called fine, in order. */
  public Marks marks(StemMatch match) {
    List<Mark> there = new ArrayList<>();
    for (SavedMark mark : marks) {
      OptionalInt k = indexOf(mark, match);
      if (k.isPresent()) {
        there.add(mark.on(k.getAsInt()));
      }
    }
    return new Marks(there);
  }

  /** Those of {@link #marks(StemMatch)} that were carried out at the desk. */
  public Set<Mark> done(StemMatch match) {
    Set<Mark> done = new LinkedHashSet<>();
    for (SavedMark mark : marks) {
      OptionalInt k = indexOf(mark, match);
      if (mark.done() && k.isPresent()) {
        done.add(mark.on(k.getAsInt()));
      }
    }
    return done;
  }

  /** Its stem's index; 0, of no meaning, for a moment called fine; empty: the stem is missing. */
  private static OptionalInt indexOf(SavedMark mark, StemMatch match) {
    return mark.stem().isPresent() ? match.indexOf(mark.stem().get()) : OptionalInt.of(0);
  }

  /**
   * The same with other marks on the stems that are there. Marks on missing stems stay, before the
   * others, in their order; a mark that was there keeps the fields of a later version.
   *
   * @param marks the marks, with indices of the stems that are there
   * @param done those of them that were carried out at the desk
   */
  public SavedSession withMarks(Marks marks, Set<Mark> done, StemMatch match) {
    List<SavedMark> all = new ArrayList<>();
    for (SavedMark mark : this.marks) {
      if (indexOf(mark, match).isEmpty()) {
        all.add(mark);
      }
    }
    for (Mark mark : marks.list()) {
      all.add(saved(mark, done.contains(mark), match));
    }
    return withMarks(all);
  }

  private SavedMark saved(Mark mark, boolean isDone, StemMatch match) {
    SavedMark plain =
        mark instanceof Mark.OfFix fix
            ? SavedMark.of(match.now().get(fix.fix().stem()), fix, isDone)
            : SavedMark.of((Mark.Fine) mark, isDone);
    Mark deed = mark.withNote("");
    for (SavedMark old : marks) {
      OptionalInt k = indexOf(old, match);
      if (k.isPresent() && old.on(k.getAsInt()).withNote("").equals(deed)) {
        return new SavedMark(plain.stem(), plain.mark(), isDone, old.unknown());
      }
    }
    return plain;
  }

  /**
   * The same with what is set for the stems that are there; those that are missing stay, after the
   * others.
   *
   * @param faders their faders, in session order
   * @param leftAlone indices of those that no fix may touch
   */
  public SavedSession withStems(
      List<Fader> faders, Collection<Integer> leftAlone, StemMatch match) {
    List<SavedStem> all = new ArrayList<>();
    for (int k = 0; k < match.now().size(); k++) {
      Unknown kept = Unknown.NONE;
      for (SavedStem old : stems) {
        OptionalInt found = match.indexOf(old.ref());
        if (found.isPresent() && found.getAsInt() == k) {
          kept = old.unknown();
        }
      }
      all.add(new SavedStem(match.now().get(k), faders.get(k), leftAlone.contains(k), kept));
    }
    for (SavedStem old : stems) {
      if (match.indexOf(old.ref()).isEmpty()) {
        all.add(old);
      }
    }
    return withStems(all);
  }

  /**
   * The same with other yokes of the stems that are there. A yoke that a missing stem is in keeps
   * it only while at least one of its other stems is still yoked as before.
   *
   * @param indices indices of the stems that are there
   */
  public SavedSession withYokes(List<List<Integer>> indices, StemMatch match) {
    List<Yoke> all = new ArrayList<>();
    for (List<Integer> together : indices) {
      Set<StemRef> refs = new LinkedHashSet<>();
      together.forEach(k -> refs.add(match.now().get(k)));
      Unknown kept = Unknown.NONE;
      for (Yoke old : yokes) {
        List<Integer> there = new ArrayList<>();
        old.stems().forEach(ref -> match.indexOf(ref).ifPresent(there::add));
        if (there.stream().anyMatch(together::contains)) {
          old.stems().stream().filter(ref -> match.indexOf(ref).isEmpty()).forEach(refs::add);
          kept = old.unknown();
        }
      }
      all.add(new Yoke(List.copyOf(refs), kept));
    }
    for (Yoke old : yokes) {
      // Fewer than two of its stems are there, so nobody could have changed it.
      long there = old.stems().stream().filter(ref -> match.indexOf(ref).isPresent()).count();
      boolean taken =
          all.stream().anyMatch(yoke -> old.stems().stream().anyMatch(yoke.stems()::contains));
      if (there < 2 && !taken) {
        all.add(old);
      }
    }
    return withYokes(all);
  }

  /** A session that is being changed, so that no change has to name all that stays. */
  private static final class Parts {
    String folder;
    int sampleRateHz;
    List<SavedStem> stems;
    List<Yoke> yokes;
    List<NamedSection> sections;
    SavedSettings settings;
    Preferences preferences;
    SavedView view;
    List<SavedMark> marks;
    List<MomentNote> notes;
    Set<String> tipsUsed;
    List<SavedPass> passes;
    Unknown unknown;

    Parts(SavedSession session) {
      folder = session.folder();
      sampleRateHz = session.sampleRateHz();
      stems = session.stems();
      yokes = session.yokes();
      sections = session.sections();
      settings = session.settings();
      preferences = session.preferences();
      view = session.view();
      marks = session.marks();
      notes = session.notes();
      tipsUsed = session.tipsUsed();
      passes = session.passes();
      unknown = session.unknown();
    }

    SavedSession whole() {
      return new SavedSession(
          folder,
          sampleRateHz,
          stems,
          yokes,
          sections,
          settings,
          preferences,
          view,
          marks,
          notes,
          tipsUsed,
          passes,
          unknown);
    }
  }

  private SavedSession withMarks(List<SavedMark> newMarks) {
    Parts parts = new Parts(this);
    parts.marks = newMarks;
    return parts.whole();
  }

  private SavedSession withStems(List<SavedStem> newStems) {
    Parts parts = new Parts(this);
    parts.stems = newStems;
    return parts.whole();
  }

  private SavedSession withYokes(List<Yoke> newYokes) {
    Parts parts = new Parts(this);
    parts.yokes = newYokes;
    return parts.whole();
  }

  /** The same for stems that lie in another folder. */
  public SavedSession withFolder(String newFolder) {
    Parts parts = new Parts(this);
    parts.folder = newFolder;
    return parts.whole();
  }

  /** The same with other named sections. */
  public SavedSession withSections(List<NamedSection> newSections) {
    Parts parts = new Parts(this);
    parts.sections = newSections;
    return parts.whole();
  }

  /** The same with other settings. */
  public SavedSession withSettings(SavedSettings newSettings) {
    Parts parts = new Parts(this);
    parts.settings = newSettings;
    return parts.whole();
  }

  /** The same with other preferences. */
  public SavedSession withPreferences(Preferences newPreferences) {
    Parts parts = new Parts(this);
    parts.preferences = newPreferences;
    return parts.whole();
  }

  /** The same with another view. */
  public SavedSession withView(SavedView newView) {
    Parts parts = new Parts(this);
    parts.view = newView;
    return parts.whole();
  }

  /** The same with other notes on moments without a mark. */
  public SavedSession withNotes(List<MomentNote> newNotes) {
    Parts parts = new Parts(this);
    parts.notes = newNotes;
    return parts.whole();
  }

  /** The same with one more tip that need not be given again. */
  public SavedSession withTipUsed(String tip) {
    Set<String> more = new LinkedHashSet<>(tipsUsed);
    more.add(tip);
    Parts parts = new Parts(this);
    parts.tipsUsed = more;
    return parts.whole();
  }

  /** The same with other passes: one more, or one with what was told. */
  public SavedSession withPasses(List<SavedPass> newPasses) {
    Parts parts = new Parts(this);
    parts.passes = newPasses;
    return parts.whole();
  }

  /**
   * The same as a further pass begins, over stems that were exported again: the fixes become those
   * of the pass before, with their notes left behind as notes on their moments; what was called
   * fine, notes and sections stay, moved along with the stems.
   *
   * @param shiftFrames by how much all is later now, below 0: earlier; what would lie before the
   *     start is dropped
   */
  public SavedSession withNextPass(long shiftFrames) {
    List<SavedMark> fixes = marks.stream().filter(mark -> mark.stem().isPresent()).toList();
    List<SavedMark> fine = new ArrayList<>();
    Map<Long, MomentNote> moved = new LinkedHashMap<>();
    for (MomentNote note : notes) {
      long frame = note.momentFrame() + shiftFrames;
      if (frame >= 0) {
        moved.put(frame, new MomentNote(frame, note.text(), note.unknown()));
      }
    }
    for (SavedMark mark : marks) {
      long frame = mark.mark().momentFrame() + shiftFrames;
      Optional<String> text = mark.mark().note();
      if (frame >= 0 && mark.stem().isEmpty()) {
        Mark here = Mark.fine(frame).withNote(text.orElse(""));
        fine.add(new SavedMark(Optional.empty(), here, false, mark.unknown()));
      } else if (frame >= 0 && text.isPresent()) {
        moved.putIfAbsent(frame, new MomentNote(frame, text.get()));
      }
    }
    List<NamedSection> shifted = new ArrayList<>();
    for (NamedSection section : sections) {
      long from = Math.max(0, section.range().firstFrame() + shiftFrames);
      long end = section.range().endFrame() + shiftFrames;
      if (end > from) {
        shifted.add(new NamedSection(section.name(), new TimeRange(from, end), section.unknown()));
      }
    }
    List<SavedPass> all = new ArrayList<>();
    int room = MOST_OLD_MOMENTS;
    for (int i = passes.size() - 1; i >= 0; i--) {
      SavedPass old = passes.get(i).withoutPeaks();
      boolean isLast = i == passes.size() - 1;
      room -= isLast ? 0 : old.moments().size();
      all.add(0, room < 0 ? old.withoutMoments() : old);
    }
    if (!passes.isEmpty()) {
      all.set(all.size() - 1, passes.get(passes.size() - 1).withMarks(fixes));
    }
    Parts parts = new Parts(this);
    parts.marks = fine;
    parts.notes = List.copyOf(moved.values());
    parts.sections = shifted;
    parts.settings = settings.shifted(shiftFrames);
    parts.view = view.withMoment(OptionalLong.empty());
    parts.passes = List.copyOf(all);
    return parts.whole();
  }

  /**
   * Reads all but the schema, which is taken before.
   *
   * @param kept what may wait
   */
  static SavedSession read(Fields fields, KeptMoments.Split kept) throws IOException {
    return new SavedSession(
        fields.needText("folder"),
        fields.needInt("sampleRate"),
        fields.objects("stems", SavedStem::read),
        fields.objects("yokes", Yoke::read),
        fields.objects("sections", NamedSection::read),
        fields.object("settings", SavedSettings::read).orElse(SavedSettings.DEFAULT),
        fields.object("preferences", Preferences::read).orElse(Preferences.DEFAULT),
        fields.object("view", SavedView::read).orElse(SavedView.DEFAULT),
        fields.objects("marks", SavedMark::read),
        fields.objects("notes", MomentNote::read),
        new LinkedHashSet<>(fields.texts("tipsUsed")),
        fields.objects("passes", pass -> SavedPass.read(pass, kept)),
        fields.unknown());
  }

  /**
   * The session as it is written.
   *
   * @param printed its passes
   */
  JsonTree.Obj write(String schema, List<JsonTree.Printed> printed) {
    return new ObjectBuilder()
        .text("schema", schema)
        .text("folder", folder)
        .whole("sampleRate", sampleRateHz)
        .array("stems", stems, SavedStem::write)
        .array("yokes", yokes, Yoke::write)
        .array("sections", sections, NamedSection::write)
        .object("settings", settings.write())
        .object("preferences", preferences.write())
        .object("view", view.write())
        .array("marks", marks, SavedMark::write)
        .array("notes", notes, MomentNote::write)
        .array("tipsUsed", tipsUsed, JsonTree.Text::new)
        .array("passes", printed, pass -> pass)
        .with(unknown);
  }
}
