package cairn.collisions.plan;

import cairn.collisions.TimeRange;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import java.io.IOException;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * The fixes of all marks by stem, in the order in which they apply, each with the frames that it
 * changes. Immutable; a change shares the lists of the stems that it leaves as they were.
 */
final class PlacedMarks {

  /**
   * A fix where it lies.
   *
   * @param fix the fix
   * @param fromFrame first frame of its affected range, cut to the range that is looked at
   * @param endFrame frame after its last one; the same as {@code fromFrame}: it changes nothing
   */
  record Placed(Fix fix, long fromFrame, long endFrame) {

    /** Whether it changes a frame of {@code [from, end)}. */
    boolean meets(long from, long end) {
      return fromFrame < end && from < endFrame;
    }

    /** By how many frames it reads to the left of what it writes. */
    long readsBefore() {
      return fix instanceof Nudge nudge ? Math.max(0, nudge.frames()) : lobeEdge();
    }

    /** By how many frames it reads to the right of what it writes. */
    long readsAfter() {
      return fix instanceof Nudge nudge ? Math.max(0, -nudge.frames()) : lobeEdge();
    }

    /** A lobe ends where the next frame says so. */
    private long lobeEdge() {
      return fix instanceof Clip ? 1 : 0;
    }

    /** Whether what it does depends on a frame of the range. */
    boolean dependsOn(TimeRange range) {
      return range.firstFrame() < endFrame + readsAfter()
          && fromFrame - readsBefore() < range.endFrame();
    }
  }

  /** Finds the frames that a fix changes, given the fixes of its stem that come before it. */
  @FunctionalInterface
  interface Placing {
    Placed place(Fix fix, List<Placed> before) throws IOException;
  }

  /**
   * Other fixes, and what they change.
   *
   * @param placed the new ones
   * @param changed every frame at which a stem may differ; ranges may meet
   */
  record Change(PlacedMarks placed, List<TimeRange> changed) {}

  private final List<List<Placed>> ofStem;

  private PlacedMarks(List<List<Placed>> ofStem) {
    this.ofStem = ofStem;
  }

  /** No fix on any stem. */
  static PlacedMarks none(int stems) {
    List<List<Placed>> ofStem = new ArrayList<>();
    for (int k = 0; k < stems; k++) {
      ofStem.add(List.of());
    }
    return new PlacedMarks(ofStem);
  }

  /** The fixes of stem {@code k}, in order. */
  List<Placed> of(int k) {
    return ofStem.get(k);
  }

  /** The fixes of all stems that change a frame of {@code [from, end)}, stem by stem. */
  List<List<Placed>> meeting(long from, long end) {
    return ofStem.stream()
        .map(placed -> placed.stream().filter(p -> p.meets(from, end)).toList())
        .toList();
  }

  /** The frames that a fix changes; the first of its kind if there are several. */
  Placed find(Fix fix) {
    for (Placed placed : ofStem.get(fix.stem())) {
      if (placed.fix().equals(fix)) {
        return placed;
      }
    }
    throw new IllegalArgumentException("fix must be in the list: fix=" + fix);
  }

  /** The sum of all affected ranges, in frames. */
  long alteredFrames() {
    long frames = 0;
    for (List<Placed> placed : ofStem) {
      for (Placed p : placed) {
        frames += p.endFrame() - p.fromFrame();
      }
    }
    return frames;
  }

  /** The same for another list of fixes, in the order in which they apply. */
  Change changedTo(List<Fix> fixes, Placing placing) throws IOException {
    List<List<Fix>> wanted = new ArrayList<>();
    for (int k = 0; k < ofStem.size(); k++) {
      wanted.add(new ArrayList<>());
    }
    for (Fix fix : fixes) {
      if (fix.stem() >= ofStem.size()) {
        throw new IllegalArgumentException(
            "stem must be under " + ofStem.size() + ": stem=" + fix.stem());
      }
      wanted.get(fix.stem()).add(fix);
    }
    List<List<Placed>> fresh = new ArrayList<>(ofStem);
    List<TimeRange> changed = new ArrayList<>();
    for (int k = 0; k < fresh.size(); k++) {
      List<Placed> old = ofStem.get(k);
      if (!old.stream().map(Placed::fix).toList().equals(wanted.get(k))) {
        List<TimeRange> changedHere = new ArrayList<>();
        fresh.set(k, merge(old, wanted.get(k), placing, changedHere));
        changed.addAll(changedHere);
      }
    }
    return new Change(new PlacedMarks(List.copyOf(fresh)), changed);
  }

  /**
   * Walks both lists of one stem side by side and collects what changes: the ranges of fixes that
   * are new or gone, and what later fixes make of that.
   */
  private static List<Placed> merge(
      List<Placed> old, List<Fix> wanted, Placing placing, List<TimeRange> changed)
      throws IOException {
    List<Placed> fresh = new ArrayList<>();
    Set<Fix> oldLeft = new HashSet<>(old.stream().map(Placed::fix).toList());
    int i = 0;
    int j = 0;
    while (i < old.size() || j < wanted.size()) {
      if (i < old.size() && j < wanted.size() && old.get(i).fix().equals(wanted.get(j))) {
        fresh.add(carriedOver(old.get(i), fresh, placing, changed));
        oldLeft.remove(wanted.get(j));
        i++;
        j++;
      } else if (i == old.size() || (j < wanted.size() && !oldLeft.contains(wanted.get(j)))) {
        Placed placed = placing.place(wanted.get(j), List.copyOf(fresh));
        fresh.add(placed);
        add(changed, placed.fromFrame(), placed.endFrame());
        j++;
      } else {
        add(changed, old.get(i).fromFrame(), old.get(i).endFrame());
        oldLeft.remove(old.get(i).fix());
        i++;
      }
    }
    return List.copyOf(fresh);
  }

  /** A fix of both lists: it passes on what has changed before it. */
  private static Placed carriedOver(
      Placed placed, List<Placed> before, Placing placing, List<TimeRange> changed)
      throws IOException {
    if (changed.stream().noneMatch(placed::dependsOn)) {
      return placed;
    }
    if (placed.fix() instanceof Nudge nudge) {
      for (TimeRange range : List.copyOf(changed)) {
        add(
            changed,
            Math.max(placed.fromFrame(), range.firstFrame() + nudge.frames()),
            Math.min(placed.endFrame(), range.endFrame() + nudge.frames()));
      }
      return placed;
    }
    if (placed.fix() instanceof Clip) {
      // Its lobes may start and end elsewhere now.
      Placed again = placing.place(placed.fix(), List.copyOf(before));
      add(
          changed,
          Math.min(placed.fromFrame(), again.fromFrame()),
          Math.max(placed.endFrame(), again.endFrame()));
      return again;
    }
    return placed;
  }

  private static void add(List<TimeRange> ranges, long from, long end) {
    if (end > from) {
      ranges.add(new TimeRange(from, end));
    }
  }
}
