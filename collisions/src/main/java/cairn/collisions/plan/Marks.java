package cairn.collisions.plan;

import java.util.ArrayList;
import java.util.List;

/**
 * All marks of a session in the order in which they were made, which is the order in which they
 * apply; definitions.md, 5. Each change gives a new value, so that undo is keeping the old one.
 *
 * @param list the marks; no two are equal
 */
public record Marks(List<Mark> list) {

  /** No mark at all. */
  public static final Marks NONE = new Marks(List.of());

  public Marks {
    list = List.copyOf(list);
    if (list.stream().distinct().count() != list.size()) {
      throw new IllegalArgumentException("marks must differ from each other: marks=" + list);
    }
  }

  /** With one more, made last. */
  public Marks add(Mark mark) {
    return addAll(List.of(mark));
  }

  /** With some more, made last, in this order. */
  public Marks addAll(List<? extends Mark> more) {
    List<Mark> all = new ArrayList<>(list);
    all.addAll(more);
    return new Marks(all);
  }

  /** Without one of them. */
  public Marks remove(Mark mark) {
    List<Mark> rest = new ArrayList<>(list);
    rest.remove(indexOf(mark));
    return new Marks(rest);
  }

  /**
   * With one in place of another. A new fix is made last; if only the note differs, the mark keeps
   * its place.
   */
  public Marks replace(Mark old, Mark fresh) {
    int at = indexOf(old);
    List<Mark> all = new ArrayList<>(list);
    all.remove(at);
    boolean sameDeed = old.withNote("").equals(fresh.withNote(""));
    all.add(sameDeed ? at : all.size(), fresh);
    return new Marks(all);
  }

  /** Those with a fix, in order. */
  public List<Mark.OfFix> fixes() {
    List<Mark.OfFix> fixes = new ArrayList<>();
    for (Mark mark : list) {
      if (mark instanceof Mark.OfFix fix) {
        fixes.add(fix);
      }
    }
    return fixes;
  }

  /** Peak frames of the moments called fine, in order. */
  public List<Long> fineFrames() {
    return list.stream().filter(Mark.Fine.class::isInstance).map(Mark::momentFrame).toList();
  }

  private int indexOf(Mark mark) {
    int at = list.indexOf(mark);
    if (at < 0) {
      throw new IllegalArgumentException("mark must be in the list: mark=" + mark);
    }
    return at;
  }
}
