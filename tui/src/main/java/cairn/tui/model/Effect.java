package cairn.tui.model;

import cairn.collisions.Settings;
import cairn.collisions.Yokes;
import cairn.collisions.line.Line;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.PlanOptions;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Set;

/** A deed on the world, as a value; whoever carries it out answers with {@link Event}s. */
public sealed interface Effect {

  /**
   * Reads and analyses the stems: {@link Event.Progressed}, then {@link Event.SongRead} or {@link
   * Event.Failed}.
   *
   * @param faders one a stem, or empty: as the session says
   * @param settings line, goal and all else; empty: as asked for, or as the session says
   * @param yokes which stems move together; empty: as before
   */
  record Analyse(
      List<cairn.collisions.Fader> faders, Optional<Settings> settings, Optional<Yokes> yokes)
      implements Effect {
    public Analyse {
      faders = List.copyOf(faders);
    }

    /** With the yokes that there are. */
    public Analyse(List<cairn.collisions.Fader> faders, Optional<Settings> settings) {
      this(faders, settings, Optional.empty());
    }
  }

  /**
   * Sums the bus with marks: {@link Event.BusReckoned}. A later one makes an earlier one that has
   * not begun void.
   *
   * @param marks the marks
   */
  record ReckonBus(Marks marks) implements Effect {}

  /**
   * Looks into a moment: {@link Event.MomentReckoned}. A later one makes an earlier one void.
   *
   * @param marks the marks the bus has
   * @param momentFrames peak frames as listed, the moment first, then those alike to it by rank
   * @param allAlike whether fixes are for all of them, or for the first alone
   * @param leftAlone stems that no fix may touch
   */
  record ReckonMoment(
      Marks marks, List<Long> momentFrames, boolean allAlike, Set<Integer> leftAlone)
      implements Effect {
    public ReckonMoment {
      momentFrames = List.copyOf(momentFrames);
      leftAlone = Set.copyOf(leftAlone);
    }
  }

  /**
   * Plans: {@link Event.Progressed}, then {@link Event.Planned} or {@link Event.Failed}.
   *
   * @param taken the marks there are
   * @param options limits, line, stems left alone
   */
  record MakePlan(Marks taken, PlanOptions options) implements Effect {}

  /**
   * Counts the moments over another line: {@link Event.Counted}.
   *
   * @param line the line
   */
  record Count(Line line) implements Effect {}

  /**
   * Sums the bus after each row of the plan: {@link Event.PlanSummed}. A later one makes an earlier
   * one void.
   *
   * @param marks the marks the bus has
   * @param steps the marks of each row
   */
  record SumPlan(Marks marks, List<List<Mark.OfFix>> steps) implements Effect {
    public SumPlan {
      steps = List.copyOf(steps);
    }
  }

  /** Checks the stems, aside from all else: {@link Event.Checked}. */
  record CheckStems() implements Effect {}

  /**
   * Works out what one setting of each stem for the whole song would do, aside: {@link
   * Event.SettingsTried}.
   *
   * @param leftAlone stems that are passed over
   */
  record TrySettings(Set<Integer> leftAlone) implements Effect {
    public TrySettings {
      leftAlone = Set.copyOf(leftAlone);
    }
  }

  /** Measures the loudness of each stem, aside: {@link Event.StemsMetered}. */
  record MeterStems() implements Effect {}

  /** Works out what bus and reference are like, aside: {@link Event.SpectraMeasured}. */
  record MeasureSpectra() implements Effect {}

  /**
   * Works out in which bands stems have their energy at a place: {@link Event.BandsReckoned}.
   *
   * @param marks the marks the bus has
   * @param peakFrame where
   * @param stems which stems
   */
  record ReckonBands(Marks marks, long peakFrame, List<Integer> stems) implements Effect {
    public ReckonBands {
      stems = List.copyOf(stems);
    }
  }

  /**
   * Saves the session: {@link Event.Saved} or {@link Event.NotSaved}. A later one makes an earlier
   * one that has not begun void.
   *
   * @param change number of the change, counted up
   * @param state all that is to be saved
   * @param decides whether something was decided, which is not shown before it is safe; else it is
   *     where one stands
   */
  record Save(long change, Kept state, boolean decides) implements Effect {}

  /**
   * Writes the marked moments as a cue list: {@link Event.Written} or {@link Event.Failed}.
   *
   * @param format its name: csv, json, text, midi, wave
   * @param target where to
   * @param force whether an existing file may be replaced
   * @param state the marks and how they stand
   */
  record WriteCues(String format, Path target, boolean force, Kept state) implements Effect {}

  /**
   * Answers with {@link Event.Rested} if no key comes for 60 ms.
   *
   * @param keys the number of keys pressed so far
   */
  record AwaitRest(long keys) implements Effect {}

  /** Stops the long work that runs: it answers with {@link Event.Failed}. */
  record Cancel() implements Effect {}

  /** Paints every cell anew. */
  record Repaint() implements Effect {}

  /** Leaves the program once all is saved. */
  record Leave() implements Effect {}
}
