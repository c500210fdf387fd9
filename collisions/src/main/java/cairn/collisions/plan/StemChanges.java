package cairn.collisions.plan;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.Stem;
import cairn.collisions.TimeRange;
import cairn.collisions.line.WindowGrid;
import java.util.ArrayList;
import java.util.List;

/**
 * Which stems a later pass has in another form, by their names; definitions.md, 5.
 *
 * <p>A stem is <i>changed</i> if a window of it, in either pass, is higher by 0.1 dB or more than
 * the windows of the other pass that it meets once the common shift is taken off, and is above −70
 * dBFS. Windows that touch a marked range of the stem are passed over, and so are windows that do
 * not lie wholly in what the other pass looked at. So a change of level is seen anywhere, a hit
 * that only moved is not: its peak stays.
 *
 * <p>A stem that is gone and one that is new are one <i>renamed</i> stem if they have as many
 * channels, are above −70 dBFS in a window that was compared, and are not changed in that sense.
 *
 * @param changed names of stems that changed where nothing was marked, in session order
 * @param renamed stems with another name
 * @param added names of stems that were not there before, in session order
 * @param removed names of stems that are there no more, in their order
 */
public record StemChanges(
    List<String> changed, List<Renamed> renamed, List<String> added, List<String> removed) {

  private static final double LEAST_FACTOR = Decibels.toFactor(0.1);
  private static final double QUIET = Decibels.toFactor(-70);

  /**
   * A stem with another name.
   *
   * @param before its name in the earlier pass
   * @param now its name now
   */
  public record Renamed(String before, String now) {}

  public StemChanges {
    changed = List.copyOf(changed);
    renamed = List.copyOf(renamed);
    added = List.copyOf(added);
    removed = List.copyOf(removed);
  }

  /** Whether all stems are there, by their names, and none is changed. */
  public boolean none() {
    return changed.isEmpty() && renamed.isEmpty() && added.isEmpty() && removed.isEmpty();
  }

  /** Compares the stems; where those of the earlier pass are not known, nothing is said. */
  static StemChanges between(EarlierPass earlier, long shiftFrames, Pass now) {
    List<String> changed = new ArrayList<>();
    List<Integer> fresh = new ArrayList<>();
    List<EarlierStem> missing = new ArrayList<>(earlier.stems());
    List<Stem> stems = earlier.stems().isEmpty() ? List.of() : now.session().stems();
    for (int k = 0; k < stems.size(); k++) {
      String name = stems.get(k).name();
      EarlierStem before =
          missing.stream().filter(stem -> stem.name().equals(name)).findFirst().orElse(null);
      if (before == null) {
        fresh.add(k);
      } else {
        missing.remove(before);
        if (compare(earlier, before, shiftFrames, now, k) == Outcome.CHANGED) {
          changed.add(name);
        }
      }
    }
    List<Renamed> renamed = new ArrayList<>();
    for (EarlierStem before : List.copyOf(missing)) {
      for (int k : fresh) {
        if (before.channels() == stems.get(k).channels()
            && compare(earlier, before, shiftFrames, now, k) == Outcome.SAME) {
          renamed.add(new Renamed(before.name(), stems.get(k).name()));
          missing.remove(before);
          fresh.remove((Integer) k);
          break;
        }
      }
    }
    return new StemChanges(
        changed,
        renamed,
        fresh.stream().map(k -> stems.get(k).name()).toList(),
        missing.stream().map(EarlierStem::name).toList());
  }

  /** What the windows of one stem say. */
  private enum Outcome {
    CHANGED,
    SAME,
    /** Nothing was heard where it could be compared. */
    SILENT
  }

  private static Outcome compare(
      EarlierPass earlier, EarlierStem before, long shiftFrames, Pass now, int k) {
    PeakTrack after = PeakTrack.of(now.summary().stemWindowPeaks(k));
    WindowGrid grid = now.summary().grid();
    Outcome there =
        against(before.windowPeaks(), earlier.grid(), after, grid, shiftFrames, 0, before.marked());
    Outcome back =
        against(
            after,
            grid,
            before.windowPeaks(),
            earlier.grid(),
            -shiftFrames,
            -shiftFrames,
            before.marked());
    if (there == Outcome.CHANGED || back == Outcome.CHANGED) {
      return Outcome.CHANGED;
    }
    return there == Outcome.SAME || back == Outcome.SAME ? Outcome.SAME : Outcome.SILENT;
  }

  /**
   * Holds the windows of one pass against those of the other that they meet.
   *
   * @param toOther what brings a frame of the one to the other's frames
   * @param toEarlier what brings a frame of the one to the earlier pass's frames
   */
  private static Outcome against(
      PeakTrack peaks,
      WindowGrid grid,
      PeakTrack others,
      WindowGrid otherGrid,
      long toOther,
      long toEarlier,
      List<TimeRange> marked) {
    TimeRange otherRange = otherGrid.range();
    Outcome outcome = Outcome.SILENT;
    for (int j = 0; j < grid.windows(); j++) {
      long from = grid.firstFrame(j) + toOther;
      long end = grid.endFrame(j) + toOther;
      if (peaks.at(j) <= QUIET
          || from < otherRange.firstFrame()
          || end > otherRange.endFrame()
          || meets(marked, grid.firstFrame(j) + toEarlier, grid.endFrame(j) + toEarlier)) {
        continue;
      }
      outcome = Outcome.SAME;
      double largest = 0;
      int last = otherGrid.windowOf(end - 1);
      for (int i = otherGrid.windowOf(from); i <= last; i++) {
        largest = Math.max(largest, others.at(i));
      }
      if (peaks.at(j) >= largest * LEAST_FACTOR) {
        return Outcome.CHANGED;
      }
    }
    return outcome;
  }

  private static boolean meets(List<TimeRange> ranges, long from, long end) {
    for (TimeRange range : ranges) {
      if (range.firstFrame() < end && from < range.endFrame()) {
        return true;
      }
    }
    return false;
  }
}
