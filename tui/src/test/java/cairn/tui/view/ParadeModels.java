package cairn.tui.view;

import cairn.collisions.check.Finding;
import cairn.collisions.check.Weight;
import cairn.collisions.line.Summary;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.Plan;
import cairn.collisions.port.Progress;
import cairn.tui.model.Deeds;
import cairn.tui.model.Draft;
import cairn.tui.model.Look;
import cairn.tui.model.Model;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Row;
import cairn.tui.model.Samples;
import cairn.tui.model.Screen;
import cairn.tui.model.Size;
import cairn.tui.model.Song;
import cairn.tui.model.Sums;
import cairn.tui.model.TextField;
import cairn.tui.model.Work;
import cairn.tui.update.Compared;
import cairn.tui.update.PlanRow;
import cairn.tui.update.Rows;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/** Models of the parade song, worked out once. */
final class ParadeModels {

  static final Look ASCII = new Look(false, Look.Colours.NONE);
  static final Look UTF_8 = new Look(true, Look.Colours.TRUE);

  private static final List<Finding> FINDINGS =
      List.of(
          new Finding(
              Finding.Kind.LENGTH,
              "'crowd.wav' is 10.000 s shorter than most",
              "crowd.wav",
              Weight.MATTERS,
              "export it again from the common start to the common end"),
          new Finding(
              Finding.Kind.CLIPPED,
              "'claps.wav' has 3 runs of full samples, the longest of 5",
              "first at 0:21.500",
              Weight.MATTERS,
              "export it again a few decibels lower, if the original is not clipped"),
          new Finding(
              Finding.Kind.SKIPPED,
              "'notes.txt' is not summed: not a stem",
              "",
              Weight.MINOR,
              "leave it there, or export it as WAVE, AIFF or FLAC if it is a stem"));

  private static ParadeModels all;

  final ParadeSong stems = new ParadeSong();
  final Song song = stems.analysed();
  final Plan plan = stems.plan(song, Marks.NONE, Set.of(10));
  private final Plan planAfterOne =
      stems.plan(song, new Marks(List.of(plan.fixes().get(0).marks().get(0))), Set.of(10));
  private final Song second =
      stems.second(
          song, plan.fixes().stream().limit(3).flatMap(fix -> fix.marks().stream()).toList());
  private final Model walk;

  private ParadeModels() {
    walk = walked();
  }

  static synchronized ParadeModels all() {
    if (all == null) {
      all = new ParadeModels();
    }
    return all;
  }

  /** The walk with some marks taken from the plan, one moment called fine, one noted. */
  private Model walked() {
    List<Mark> marks = new ArrayList<>();
    for (int i = 0; i < Math.min(2, plan.fixes().size()); i++) {
      marks.addAll(plan.fixes().get(i).marks());
    }
    long fine = song.pass().moments().get(song.pass().moments().size() - 1).peakFrame();
    marks.add(Mark.fine(fine));
    Draft draft = draft(new Size(80, 24), UTF_8, new Marks(marks), Set.of(10));
    draft.keys = 40;
    draft.notes = List.of("crowd.wav holds no sound after 1:02: is it cut short?");
    draft.said =
        List.of(
            "2 fixes taken; u undoes it",
            "warning: the session folder cannot be written; it is kept in memory",
            "the plan is there: 6 fixes; P shows it");
    Map<Long, String> notes = new HashMap<>();
    notes.put(fine, "leave it, the crowd wants it");
    draft.deeds =
        new Deeds(
            draft.deeds.marks(),
            Set.of(marks.get(0).momentFrame()),
            notes,
            draft.deeds.leftAlone());
    draft.rows = Rows.of(draft.model());
    int open = 0;
    while (open + 1 < draft.rows.size() && !draft.rows.get(open).state().isOpen()) {
      open++;
    }
    draft.select(Screen.WALK, open);
    draft.moment = Optional.of(look(draft, open));
    return draft.model();
  }

  /** A model of the song as it is after the first reading. */
  Draft draft(Size size, Look look, Marks marks, Set<Integer> leftAlone) {
    Draft draft = new Draft(Model.start(size, look, song.title()));
    draft.song = Optional.of(song);
    draft.deeds = new Deeds(marks, Set.of(), Map.of(), leftAlone);
    draft.bus = Optional.of(stems.bus(song, marks));
    draft.plan = Optional.of(plan);
    draft.sections = ParadeSong.SECTIONS;
    draft.rows = Rows.of(draft.model());
    return draft;
  }

  MomentNow look(Draft draft, int index) {
    Row row = draft.rows.get(index);
    return stems.look(song, draft.deeds.marks(), row, draft.allAlike);
  }

  /** The walk in a window. */
  Model walk(Size size, Look look) {
    return sized(walk, size, look).model();
  }

  /** The walk as it comes up, with nothing decided. */
  Model fresh(Size size, Look look) {
    Draft draft = draft(size, look, Marks.NONE, Set.of());
    draft.sections = List.of();
    draft.moment = Optional.of(look(draft, 0));
    return draft.model();
  }

  /** Another screen over the walk. */
  Model screen(Screen screen, Size size, Look look) {
    Draft draft = sized(walk, size, look);
    draft.screen = screen;
    if (screen == Screen.CHECK) {
      draft.findings = Optional.of(FINDINGS);
      draft.select(Screen.CHECK, 1);
    }
    if (screen == Screen.SPECTRUM) {
      draft.spectra = Optional.of(stems.spectra(song));
      draft.bands = Optional.of(stems.bands(song, draft.deeds.marks(), draft.moment.get()));
    }
    if (screen == Screen.HELP) {
      draft.field = Optional.of(new TextField(TextField.Purpose.FIND, ""));
    }
    if (screen == Screen.PLAN) {
      draft.stemSettings = Optional.of(stems.settings(song, draft.deeds.leftAlone()));
      plan(draft);
    }
    if (screen == Screen.STEMS) {
      var faders = new ArrayList<>(draft.model().faders());
      faders.set(5, faders.get(5).withGainDb(-1.5).withReversed(true));
      faders.set(7, faders.get(7).withOffset(12).withMuted(true));
      draft.deeds = draft.deeds.withFaders(faders);
      draft.select(Screen.STEMS, 5);
      draft.stemSettings = Optional.of(stems.settings(song, draft.deeds.leftAlone()));
    }
    return draft.model();
  }

  /** A plan that was made after a fix was taken; one of its own is taken since. */
  private void plan(Draft draft) {
    draft.planFor =
        Optional.of(draft.deeds.withMarks(new Marks(List.of(draft.deeds.marks().list().get(0)))));
    draft.plan = Optional.of(planAfterOne);
    draft.deeds =
        draft.deeds.withMarks(
            draft.planFor.get().marks().addAll(planAfterOne.fixes().get(0).marks()));
    draft.bus = Optional.of(stems.bus(song, draft.deeds.marks()));
    draft.planTaken = Set.of(0);
    draft.rows = Rows.of(draft.model());
    draft.select(Screen.PLAN, 2);
    long frame = planAfterOne.fixes().get(1).marks().get(0).momentFrame();
    for (int i = 0; i < draft.rows.size(); i++) {
      if (draft.rows.get(i).places().stream().anyMatch(m -> m.peakFrame() == frame)) {
        draft.select(Screen.WALK, i);
        draft.moment = Optional.of(look(draft, i));
      }
    }
    draft.planSteps =
        Optional.of(
            stems.steps(song, PlanRow.of(draft.model()).stream().map(PlanRow::marks).toList()));
  }

  /** A second pass as it comes up, on the walk or on what was marked in the first. */
  Model second(Screen screen, Size size, Look look) {
    Draft draft = new Draft(Model.start(size, look, song.title()));
    draft.song = Optional.of(second);
    draft.bus = Optional.of(stems.bus(second, Marks.NONE));
    draft.rows = Rows.of(draft.model());
    draft.moment = Optional.of(stems.look(second, Marks.NONE, draft.rows.get(0), true));
    draft.message = Optional.of(Compared.summary(second.earlier().orElseThrow(), 2));
    draft.screen = screen;
    return draft.model();
  }

  /** The walk while the stems are read. */
  Model loading(Size size, Look look) {
    Draft draft = new Draft(Model.start(size, look, song.title()));
    draft.work =
        Optional.of(
            new Work(Progress.Step.SUM, 38_000_000, 55_296_000, 312e6, 2.4, Optional.of(sums())));
    return draft.model();
  }

  /** The song as two workers have summed it, each from the start of a task. */
  private Sums sums() {
    Summary summary = song.pass().summary();
    long frames = song.pass().range().frames();
    float[] peaks = new float[500];
    for (int i = 0; i < peaks.length; i++) {
      boolean isSummed = i < 310 || (i >= 375 && i < 410);
      peaks[i] = isSummed ? (float) summary.blockPeak(summary.blockOf(frames * i / 500)) : -1;
    }
    return new Sums(frames, song.sampleRateHz(), song.stems().size(), new Samples(peaks));
  }

  static Draft sized(Model model, Size size, Look look) {
    Draft draft = new Draft(model);
    draft.size = size;
    draft.look = look;
    return draft;
  }
}
