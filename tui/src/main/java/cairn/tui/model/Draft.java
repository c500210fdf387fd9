package cairn.tui.model;

import cairn.collisions.check.Finding;
import cairn.collisions.line.Line;
import cairn.collisions.plan.Advice;
import cairn.collisions.plan.Plan;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;

/**
 * A model that is being changed: the same components as {@link Model}, open. It lives within one
 * update and is never kept.
 */
public final class Draft {
  public Size size;
  public Look look;
  public Screen screen;
  public Optional<Screen> under;
  public String title;
  public Optional<Work> work;
  public Optional<Song> song;
  public Deeds deeds;
  public List<Deeds> undone;
  public List<Deeds> redoable;
  public Optional<BusNow> bus;
  public Optional<MomentNow> moment;
  public Optional<Plan> plan;
  public List<Row> rows;
  public Map<Screen, Integer> selected;
  public OptionalInt picked;
  public int advised;
  public boolean allAlike;
  public boolean whatIf;
  public int stepSize;
  public int zoom;
  public int breadth;
  public Order order;
  public String narrowed;
  public Optional<TextField> field;
  public Optional<String> message;
  public List<String> said;
  public List<String> notes;
  public Optional<String> readOnly;
  public Optional<String> unsaved;
  public Set<String> used;
  public long keys;
  public List<Event> waiting;
  public long changes;
  public List<Song.Section> sections;
  public Set<Integer> planTaken;
  public Set<Integer> planDropped;
  public Optional<Line> lineDraft;
  public OptionalInt counted;
  public String helpFilter;
  public String stemsNarrowed;
  public Optional<BusNow> lastBus;
  public Optional<Effect.ReckonMoment> asked;
  public Optional<Kept> lastKept;
  public Optional<Deeds> planFor;
  public Optional<List<Finding>> findings;
  public Optional<Spectra> spectra;
  public Optional<StemLoudness> stemLoudness;
  public Optional<Bands> bands;
  public Map<Integer, Advice> planOthers;
  public Optional<PlanSteps> planSteps;
  public Optional<StemSettings> stemSettings;

  /** Starts from a model. */
  public Draft(Model model) {
    size = model.size();
    look = model.look();
    screen = model.screen();
    under = model.under();
    title = model.title();
    work = model.work();
    song = model.song();
    deeds = model.deeds();
    undone = model.undone();
    redoable = model.redoable();
    bus = model.bus();
    moment = model.moment();
    plan = model.plan();
    rows = model.rows();
    selected = model.selected();
    picked = model.picked();
    advised = model.advised();
    allAlike = model.allAlike();
    whatIf = model.whatIf();
    stepSize = model.stepSize();
    zoom = model.zoom();
    breadth = model.breadth();
    order = model.order();
    narrowed = model.narrowed();
    field = model.field();
    message = model.message();
    said = model.said();
    notes = model.notes();
    readOnly = model.readOnly();
    unsaved = model.unsaved();
    used = model.used();
    keys = model.keys();
    waiting = model.waiting();
    changes = model.changes();
    sections = model.sections();
    planTaken = model.planTaken();
    planDropped = model.planDropped();
    lineDraft = model.lineDraft();
    counted = model.counted();
    helpFilter = model.helpFilter();
    stemsNarrowed = model.stemsNarrowed();
    lastBus = model.lastBus();
    asked = model.asked();
    lastKept = model.lastKept();
    planFor = model.planFor();
    findings = model.findings();
    spectra = model.spectra();
    stemLoudness = model.stemLoudness();
    bands = model.bands();
    planOthers = model.planOthers();
    planSteps = model.planSteps();
    stemSettings = model.stemSettings();
  }

  /** The model as it now stands. */
  public Model model() {
    return new Model(
        size,
        look,
        screen,
        under,
        title,
        work,
        song,
        deeds,
        undone,
        redoable,
        bus,
        moment,
        plan,
        rows,
        selected,
        picked,
        advised,
        allAlike,
        whatIf,
        stepSize,
        zoom,
        breadth,
        order,
        narrowed,
        field,
        message,
        said,
        notes,
        readOnly,
        unsaved,
        used,
        keys,
        waiting,
        changes,
        sections,
        planTaken,
        planDropped,
        lineDraft,
        counted,
        helpFilter,
        stemsNarrowed,
        lastBus,
        asked,
        lastKept,
        planFor,
        findings,
        spectra,
        stemLoudness,
        bands,
        planOthers,
        planSteps,
        stemSettings);
  }

  /** Selects a row of a screen. */
  public void select(Screen of, int row) {
    Map<Screen, Integer> rows = new HashMap<>(selected);
    rows.put(of, row);
    selected = Map.copyOf(rows);
  }

  /** Index of the selected row of a screen. */
  public int selectedOn(Screen of) {
    return selected.getOrDefault(of, 0);
  }
}
