package cairn.tui.model;

import cairn.collisions.plan.Plan;
import java.util.List;
import java.util.Optional;

/** Something that happened: a key, a new size, or the answer to an {@link Effect}. */
public sealed interface Event {

  /**
   * A key was pressed.
   *
   * @param key the key
   */
  record Pressed(KeyPress key) implements Event {}

  /**
   * Text was pasted; never keys.
   *
   * @param text as pasted, unchecked
   */
  record Pasted(String text) implements Event {}

  /**
   * The window has this size now.
   *
   * @param size its size
   */
  record Resized(Size size) implements Event {}

  /**
   * No key has come for 60 ms: plots may be worked out.
   *
   * @param keys the number of keys pressed when the rest began
   */
  record Rested(long keys) implements Event {}

  /**
   * Long work goes on.
   *
   * @param work how far it has come
   */
  record Progressed(Work work) implements Event {}

  /**
   * The stems were read and analysed.
   *
   * @param song what was found
   * @param kept what the session kept from an earlier opening; empty: nothing, or this is not the
   *     first reading
   * @param readOnly why nothing can be saved; empty: it can
   */
  record SongRead(Song song, Optional<Kept> kept, Optional<String> readOnly) implements Event {}

  /**
   * The bus was summed with some marks.
   *
   * @param bus what it is now
   */
  record BusReckoned(BusNow bus) implements Event {}

  /**
   * A moment and all alike to it were looked into.
   *
   * @param moment what can be seen and done there
   */
  record MomentReckoned(MomentNow moment) implements Event {}

  /**
   * A plan was made.
   *
   * @param marks the marks that were taken before it
   * @param plan the plan
   */
  record Planned(cairn.collisions.plan.Marks marks, Plan plan) implements Event {}

  /**
   * How many moments another line would leave.
   *
   * @param line the line
   * @param moments moments over it
   */
  record Counted(cairn.collisions.line.Line line, int moments) implements Event {}

  /**
   * The bus was summed after each row of the plan.
   *
   * @param steps what it comes to
   */
  record PlanSummed(PlanSteps steps) implements Event {}

  /**
   * The stems were checked.
   *
   * @param findings what was found, the heaviest first
   * @param notes what was noted before and is among the findings
   */
  record Checked(List<cairn.collisions.check.Finding> findings, List<String> notes)
      implements Event {
    public Checked {
      findings = List.copyOf(findings);
      notes = List.copyOf(notes);
    }
  }

  /**
   * What bus and reference are like.
   *
   * @param spectra both
   */
  record SpectraMeasured(Spectra spectra) implements Event {}

  /**
   * The loudness of each stem.
   *
   * @param pass the pass that it was measured for
   * @param loudness what was found
   */
  record StemsMetered(cairn.collisions.Pass pass, StemLoudness loudness) implements Event {}

  /**
   * What one setting of each stem for the whole song would do.
   *
   * @param pass the pass that it was worked out for
   * @param settings what they would do
   */
  record SettingsTried(cairn.collisions.Pass pass, StemSettings settings) implements Event {}

  /**
   * In which bands stems have their energy.
   *
   * @param bands where
   */
  record BandsReckoned(Bands bands) implements Event {}

  /**
   * The session was saved.
   *
   * @param change number of the change that is safe now, with all before it
   * @param where said to the user if it is not the usual place
   */
  record Saved(long change, Optional<String> where) implements Event {}

  /**
   * The session could not be saved; work goes on in memory.
   *
   * @param why one line: what, where, what to do
   */
  record NotSaved(String why) implements Event {}

  /**
   * A file was written.
   *
   * @param what one line that says what and where
   */
  record Written(String what) implements Event {}

  /**
   * Work that was asked for failed, or was cancelled.
   *
   * @param what the work
   * @param why one line: what, where, what to do
   */
  record Failed(Effect what, String why) implements Event {}

  /**
   * Things to know about the stems, for the Check screen.
   *
   * @param lines one line each
   */
  record Noted(List<String> lines) implements Event {
    public Noted {
      lines = List.copyOf(lines);
    }
  }
}
