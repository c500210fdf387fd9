package cairn.io.session;

import cairn.io.files.SafeText;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import java.util.Set;

/**
 * The stems that a session knows, found again among those that are there: first by their file, then
 * those that are left by their name. Each stem that is there is found once. Nothing is guessed: a
 * stem of which both have changed is missing, and one that nobody knew is new.
 */
public final class StemMatch {

  /**
   * A stem that is known by its name, but whose file is another one now.
   *
   * @param before as the session knew it
   * @param now as it is
   */
  public record Moved(StemRef before, StemRef now) {}

  /** Stems named in one line; more are counted. */
  private static final int NAMED = 6;

  private final List<StemRef> now;
  private final Map<StemRef, Integer> found;
  private final List<Moved> moved;
  private final List<StemRef> missing;
  private final List<StemRef> fresh;

  private StemMatch(
      List<StemRef> now,
      Map<StemRef, Integer> found,
      List<Moved> moved,
      List<StemRef> missing,
      List<StemRef> fresh) {
    this.now = now;
    this.found = found;
    this.moved = List.copyOf(moved);
    this.missing = List.copyOf(missing);
    this.fresh = List.copyOf(fresh);
  }

  /**
   * Finds known stems again.
   *
   * @param known as a session knows them
   * @param now those that are there, in session order
   */
  public static StemMatch of(Collection<StemRef> known, List<StemRef> now) {
    Map<String, Integer> byFile = new HashMap<>();
    Map<String, Integer> byName = new HashMap<>();
    for (int k = 0; k < now.size(); k++) {
      byFile.put(now.get(k).file(), k);
      byName.put(now.get(k).name(), k);
    }
    Set<StemRef> once = new LinkedHashSet<>(known);
    Map<StemRef, Integer> found = new LinkedHashMap<>();
    Set<Integer> taken = new LinkedHashSet<>();
    for (StemRef ref : once) {
      Integer k = byFile.get(ref.file());
      if (k != null && taken.add(k)) {
        found.put(ref, k);
      }
    }
    List<Moved> moved = new ArrayList<>();
    List<StemRef> missing = new ArrayList<>();
    for (StemRef ref : once) {
      if (found.containsKey(ref)) {
        continue;
      }
      Integer k = byName.get(ref.name());
      if (k != null && taken.add(k)) {
        found.put(ref, k);
        moved.add(new Moved(ref, now.get(k)));
      } else {
        missing.add(ref);
      }
    }
    List<StemRef> fresh = new ArrayList<>();
    for (int k = 0; k < now.size(); k++) {
      if (!taken.contains(k)) {
        fresh.add(now.get(k));
      }
    }
    return new StemMatch(List.copyOf(now), found, moved, missing, fresh);
  }

  /** The stems that are there, in session order. */
  public List<StemRef> now() {
    return now;
  }

  /** The index of a known stem among those that are there; empty: it is missing. */
  public OptionalInt indexOf(StemRef ref) {
    Integer k = found.get(ref);
    return k == null ? OptionalInt.empty() : OptionalInt.of(k);
  }

  /** Stems whose file is another one now, in the session's order. */
  public List<Moved> moved() {
    return moved;
  }

  /** Stems that are not there any more, in the session's order. */
  public List<StemRef> missing() {
    return missing;
  }

  /** Stems that the session did not know, in session order. */
  public List<StemRef> fresh() {
    return fresh;
  }

  /** What is to be said, a line each, safe to show: what is missing, what moved, what is new. */
  public List<String> lines() {
    List<String> lines = new ArrayList<>();
    if (!missing.isEmpty()) {
      lines.add(
          named(missing)
              + (missing.size() == 1 ? " is" : " are")
              + " not there any more; what was set and marked for "
              + (missing.size() == 1 ? "it" : "them")
              + " stays in the session");
    }
    for (Moved each : moved) {
      lines.add(
          "'"
              + each.now().name()
              + "' was '"
              + each.before().file()
              + "' and is '"
              + each.now().file()
              + "' now: taken for the same stem");
    }
    if (!fresh.isEmpty()) {
      lines.add(named(fresh) + (fresh.size() == 1 ? " is" : " are") + " new to the session");
    }
    return lines;
  }

  private static String named(List<StemRef> refs) {
    StringBuilder text = new StringBuilder();
    for (int i = 0; i < Math.min(NAMED, refs.size()); i++) {
      // Names in a session file may have been written by anyone.
      text.append(i == 0 ? "'" : ", '").append(safe(refs.get(i).name())).append('\'');
    }
    if (refs.size() > NAMED) {
      text.append(" and ").append(refs.size() - NAMED).append(" more");
    }
    return text.toString();
  }

  /** Safe text as it is, other text made safe; a backslash of safe text is not doubled again. */
  static String safe(String text) {
    return SafeText.of(text).replace("\\\\", "\\");
  }
}
