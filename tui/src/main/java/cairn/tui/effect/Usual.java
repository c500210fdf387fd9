package cairn.tui.effect;

import cairn.collisions.PeakMode;
import cairn.collisions.Settings;
import cairn.collisions.loudness.Goal;
import cairn.io.files.SafeText;
import cairn.io.files.XdgFolders;
import cairn.io.listing.Figures;
import cairn.io.session.DefaultsFile;
import cairn.io.session.Preferences;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;

/** What an engineer keeps from song to song, and the file in which it is kept. */
final class Usual {

  private final Optional<Path> file;
  private final List<String> lines;
  private Preferences preferences;

  private Usual(Optional<Path> file, Preferences preferences, List<String> lines) {
    this.file = file;
    this.preferences = preferences;
    this.lines = lines;
  }

  /** Reads it from the user's folders; never fails. */
  static Usual read(XdgFolders folders) {
    Optional<Path> file = DefaultsFile.place(folders);
    if (file.isEmpty()) {
      return new Usual(file, Preferences.DEFAULT, List.of());
    }
    DefaultsFile.Found found = DefaultsFile.read(file.get());
    List<String> lines = new ArrayList<>();
    found.line().ifPresent(line -> lines.add("warning: " + line));
    return new Usual(file, found.preferences(), lines);
  }

  /** What is wrong with the file, a line each. */
  List<String> lines() {
    return lines;
  }

  Preferences preferences() {
    return preferences;
  }

  /** The settings with the usual goal, if there is one, whose line is the line or not. */
  Settings goal(Settings settings, boolean drawsLine) {
    if (preferences.goalLufs().isEmpty()) {
      return settings;
    }
    return settings.withGoal(
        new Goal(
            preferences.goalLufs().getAsDouble(),
            preferences.ceilingDb(),
            preferences
                .ceilingUnit()
                .map(
                    unit ->
                        unit == Preferences.CeilingUnit.DBTP
                            ? PeakMode.TRUE_PEAK
                            : PeakMode.SAMPLE_PEAK)
                .orElse(settings.mode()),
            preferences.allowanceDb(),
            Goal.Part.LOUD),
        drawsLine);
  }

  /** Preferences with another goal, ceiling and allowance; without a goal the last two stay. */
  static Preferences with(Preferences old, Optional<Goal> goal) {
    if (goal.isEmpty()) {
      return old.withGoal(OptionalDouble.empty());
    }
    Goal set = goal.get();
    return old.withGoal(OptionalDouble.of(set.targetLufs()))
        .withCeiling(
            set.ceilingDb(),
            Optional.of(
                set.ceilingMode() == PeakMode.TRUE_PEAK
                    ? Preferences.CeilingUnit.DBTP
                    : Preferences.CeilingUnit.DBFS))
        .withAllowance(set.allowanceDb());
  }

  /** Says that a goal was taken over. */
  String taken(Goal goal) {
    return words(goal) + ": as in the last session; L, then e, sets another";
  }

  /**
   * Keeps preferences for the next session.
   *
   * @return what is to be said, one line
   */
  String write(Preferences fresh, Optional<Goal> goal) {
    String what = goal.map(Usual::words).orElse("no goal");
    if (file.isEmpty()) {
      preferences = fresh;
      return what + ": for this session alone, there is no home folder";
    }
    try {
      DefaultsFile.write(file.get(), fresh);
      preferences = fresh;
      return what + ": the next session's default too, in " + SafeText.of(file.get().toString());
    } catch (IOException e) {
      return what + ": for this session alone: " + e.getMessage();
    }
  }

  /** {@code goal -8.0 LUFS, limiter at -1.0 dBFS, may take 3.0 dB}. */
  private static String words(Goal goal) {
    return "goal "
        + Figures.fixed(goal.targetLufs(), 1)
        + " LUFS, limiter at "
        + Figures.fixed(goal.ceilingDb(), 1)
        + " "
        + goal.ceilingMode().unit()
        + ", may take "
        + Figures.fixed(goal.allowanceDb(), 1)
        + " dB";
  }
}
