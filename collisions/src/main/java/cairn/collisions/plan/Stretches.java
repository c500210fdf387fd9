package cairn.collisions.plan;

import cairn.collisions.TimeRange;
import java.util.Map;
import java.util.TreeMap;

/** Stretches of time put together; those that meet become one. */
final class Stretches {

  private final TreeMap<Long, Long> endOf = new TreeMap<>();

  void add(TimeRange range) {
    long from = range.firstFrame();
    long end = range.endFrame();
    Map.Entry<Long, Long> before = endOf.floorEntry(end);
    while (before != null && before.getValue() >= from) {
      from = Math.min(from, before.getKey());
      end = Math.max(end, before.getValue());
      endOf.remove(before.getKey());
      before = endOf.floorEntry(end);
    }
    endOf.put(from, end);
  }

  boolean contains(long frame) {
    Map.Entry<Long, Long> at = endOf.floorEntry(frame);
    return at != null && frame < at.getValue();
  }

  boolean meets(long from, long end) {
    Map.Entry<Long, Long> at = endOf.lowerEntry(end);
    return at != null && at.getValue() > from;
  }
}
