package cairn.io.listing;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.PassComparison;
import cairn.collisions.plan.PassComparison.Fate;
import cairn.collisions.plan.PassComparison.State;
import cairn.collisions.plan.StemChanges;
import cairn.io.stems.StemSet;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.BinaryOperator;
import java.util.stream.Collectors;

/**
 * What is shown of a comparison with an earlier pass.
 *
 * @param comparison what became of the earlier moments
 * @param earlier each earlier moment, in the order of the comparison's fates
 * @param byFrame the earlier moment that each moment of the later pass counts as, by its peak
 *     frame; none: it is new
 */
public record Since(PassComparison comparison, List<Earlier> earlier, Map<Long, Fate> byFrame) {

  /**
   * How an earlier moment was made.
   *
   * @param kind {@code collision} or {@code lone}
   * @param stems names of the stems that led it, in falling order
   * @param shares their shares of the peak
   */
  public record Earlier(String kind, List<String> stems, List<Double> shares) {
    public Earlier {
      stems = List.copyOf(stems);
      shares = List.copyOf(shares);
    }
  }

  public Since {
    earlier = List.copyOf(earlier);
    byFrame = Map.copyOf(byFrame);
  }

  /**
   * A comparison of two passes that are both at hand.
   *
   * @param earlierPass the one that the comparison was made with
   * @param earlierStems its stems
   */
  public static Since of(
      PassComparison comparison, Pass pass, Pass earlierPass, StemSet earlierStems) {
    List<Earlier> earlier = new ArrayList<>();
    for (Moment moment : earlierPass.moments()) {
      List<Contribution> leading = moment.leading();
      earlier.add(
          new Earlier(
              Listing.kind(moment),
              leading.stream().map(c -> earlierStems.stems().get(c.stem()).name()).toList(),
              leading.stream().map(Contribution::share).toList()));
    }
    long[] frames = pass.moments().stream().mapToLong(Moment::peakFrame).toArray();
    List<Optional<Fate>> fates = comparison.at(frames);
    Map<Long, Fate> byFrame = new HashMap<>();
    for (int i = 0; i < frames.length; i++) {
      if (fates.get(i).isPresent()) {
        byFrame.put(frames[i], fates.get(i).get());
      }
    }
    return new Since(comparison, earlier, byFrame);
  }

  /** What the moment was before; empty: it is new. */
  Optional<Fate> fate(Moment moment) {
    return Optional.ofNullable(byFrame.get(moment.peakFrame()));
  }

  /** {@code gone}, {@code lower}, {@code still} or {@code new}, for programs. */
  static String code(State state) {
    return switch (state) {
      case GONE -> "gone";
      case LOWER -> "lower";
      case STILL -> "still";
      case NEW -> "new";
    };
  }

  /** The same for people. */
  public static String words(State state) {
    return state == State.STILL ? "still there" : code(state);
  }

  /** Whether what the marks would do is known. */
  boolean isTold() {
    return comparison.fates().stream().anyMatch(fate -> fate.toldDb().isPresent());
  }

  /** Places, in order, of the earlier moments that no moment of the later pass counts as. */
  List<Integer> withoutMoment() {
    Set<Fate> counted = new LinkedHashSet<>(byFrame.values());
    List<Integer> places = new ArrayList<>();
    for (int i = 0; i < comparison.fates().size(); i++) {
      if (!counted.contains(comparison.fates().get(i))) {
        places.add(i);
      }
    }
    return places;
  }

  /**
   * Counts, shift, line and both average peaks, in one line.
   *
   * @param unit of the levels, which both passes have in common
   */
  public String headLine(String unit) {
    long shift = comparison.shiftFrames();
    return comparison.count(State.GONE)
        + " gone, "
        + comparison.count(State.LOWER)
        + " lower, "
        + comparison.count(State.STILL)
        + " still there, "
        + comparison.count(State.NEW)
        + " new; shift "
        + Figures.count(Math.abs(shift), "sample")
        + (shift > 0 ? " later" : shift < 0 ? " earlier" : "")
        + "; line held at "
        + Figures.db(comparison.earlier().lineLevel(), 2)
        + " "
        + unit
        + ", average peak "
        + Figures.db(comparison.earlier().averagePeak(), 2)
        + " then, "
        + Figures.db(comparison.averagePeakNow(), 2)
        + " now";
  }

  /**
   * A line for each kind of change of the stems, and for what points to processing after them.
   *
   * @param line makes a line of what it is about and what there is to say
   */
  public List<String> stemLines(BinaryOperator<String> line) {
    List<String> lines = new ArrayList<>();
    StemChanges stems = comparison.stems();
    if (!stems.changed().isEmpty()) {
      String where = isTold() ? "where nothing was marked: " : "";
      lines.add(line.apply("changed", where + String.join(", ", stems.changed())));
    }
    if (!stems.renamed().isEmpty()) {
      lines.add(
          line.apply(
              "renamed",
              stems.renamed().stream()
                  .map(stem -> stem.before() + " is " + stem.now() + " now")
                  .collect(Collectors.joining(", "))));
    }
    if (!stems.added().isEmpty()) {
      lines.add(line.apply("added", String.join(", ", stems.added())));
    }
    if (!stems.removed().isEmpty()) {
      lines.add(line.apply("removed", String.join(", ", stems.removed())));
    }
    long apart = comparison.fates().stream().filter(Fate::pointsToProcessing).count();
    if (apart > 0) {
      lines.add(
          line.apply(
              "told, got",
              "more than 0.3 dB apart at "
                  + Figures.count(apart, "moment")
                  + ": something after the stems acts"));
    }
    return lines;
  }

  /** By how much a peak fell, for people: {@code 1.20}, {@code 0.15 up}, to silence {@code all}. */
  public static String fell(OptionalDouble db) {
    if (db.isEmpty()) {
      return "";
    }
    double fellDb = db.getAsDouble();
    if (Double.isInfinite(fellDb)) {
      return "all";
    }
    String text = Figures.fixed(Math.abs(fellDb), 2);
    return fellDb < 0 && !text.equals("0.00") ? text + " up" : text;
  }

  /** A level in dB with four decimals; of silence: empty. */
  static String db(double level) {
    return level > 0 ? Figures.fixed(Decibels.ofAmplitude(level), 4) : "";
  }

  /** A number of dB with four decimals; empty where there is none. */
  static String number(OptionalDouble db) {
    return db.isPresent() && Double.isFinite(db.getAsDouble())
        ? Figures.fixed(db.getAsDouble(), 4)
        : "";
  }
}
