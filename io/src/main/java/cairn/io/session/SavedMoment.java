package cairn.io.session;

import cairn.collisions.Decibels;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import java.io.IOException;
import java.util.List;
import java.util.Objects;
import java.util.OptionalDouble;

/**
 * A moment of a pass, as much of it as a later pass is compared with and a list shows. Its rank is
 * its place in the pass.
 *
 * @param peakFrame {@code n*}
 * @param channel {@code c*}: 0 left, 1 right
 * @param peak {@code p[n*]}, linear
 * @param averagePeak {@code A} at {@code n*}, linear
 * @param line {@code T} at {@code n*}, linear
 * @param firstOver first over frame
 * @param lastOver last over frame, inclusive
 * @param overFrames number of over frames
 * @param longestRun longest run of consecutive over frames
 * @param isLong whether its span is over 100 ms
 * @param makingUp the stems that make up its depth, highest first: indices into those of the pass
 * @param alikeTo rank of the head that it is alike to; its own if it is a head
 * @param alike how many moments that head stands for, itself included
 * @param instant {@code e*} in frames, −0.375 to 0.375; 0 where levels are read from samples
 * @param told the highest level that the what-if left in its neighbourhood, linear; empty: nothing
 *     was marked that changes it
 * @param unknown fields of a later version
 */
public record SavedMoment(
    long peakFrame,
    int channel,
    double peak,
    double averagePeak,
    double line,
    long firstOver,
    long lastOver,
    long overFrames,
    long longestRun,
    boolean isLong,
    List<Integer> makingUp,
    int alikeTo,
    int alike,
    double instant,
    OptionalDouble told,
    Unknown unknown) {

  public SavedMoment {
    makingUp = List.copyOf(makingUp);
    Objects.requireNonNull(told, "told");
    Objects.requireNonNull(unknown, "unknown");
    if (firstOver < 0 || firstOver > peakFrame || peakFrame > lastOver) {
      throw new IllegalArgumentException(
          "a moment's peak must lie in its span: first="
              + firstOver
              + ", peak="
              + peakFrame
              + ", last="
              + lastOver);
    }
    if (!(peak > 0 && averagePeak > 0 && line > 0)) {
      throw new IllegalArgumentException(
          "levels must be over 0: peak=" + peak + ", average=" + averagePeak + ", line=" + line);
    }
    if (told.isPresent() && !(told.getAsDouble() >= 0)) {
      throw new IllegalArgumentException("told must be >= 0: told=" + told.getAsDouble());
    }
    if (!(Math.abs(instant) <= 0.5)) {
      throw new IllegalArgumentException(
          "an instant must lie within half a sample: instant=" + instant);
    }
    if (makingUp.isEmpty()) {
      throw new IllegalArgumentException("it takes at least one stem: makingUp=[]");
    }
  }

  /**
   * Makes sure that moments can be those of one pass.
   *
   * @param stems how many stems it has
   */
  static void checkAll(List<SavedMoment> moments, int stems) {
    for (SavedMoment moment : moments) {
      for (int k : moment.makingUp()) {
        if (k < 0 || k >= stems) {
          throw new IllegalArgumentException(
              "makingUp must name stems 0 to " + (stems - 1) + ": stem=" + k);
        }
      }
      if (moment.alikeTo() < 1 || moment.alikeTo() > moments.size()) {
        throw new IllegalArgumentException(
            "alikeTo must be a rank, 1 to " + moments.size() + ": alikeTo=" + moment.alikeTo());
      }
    }
  }

  /** What is kept of a moment; nothing told yet. */
  static SavedMoment of(Moment moment) {
    return new SavedMoment(
        moment.peakFrame(),
        moment.channel(),
        moment.peak(),
        moment.averagePeak(),
        moment.line(),
        moment.firstOver(),
        moment.lastOver(),
        moment.overFrames(),
        moment.longestRun(),
        moment.isLong(),
        moment.makingUp().stream().map(Contribution::stem).toList(),
        moment.alikeTo(),
        moment.alike(),
        moment.instant(),
        OptionalDouble.empty(),
        Unknown.NONE);
  }

  /** The same with what the what-if left there, linear, or with nothing told. */
  public SavedMoment withTold(OptionalDouble newTold) {
    return new SavedMoment(
        peakFrame,
        channel,
        peak,
        averagePeak,
        line,
        firstOver,
        lastOver,
        overFrames,
        longestRun,
        isLong,
        makingUp,
        alikeTo,
        alike,
        instant,
        newTold,
        unknown);
  }

  /** How many stems it takes. */
  public int depth() {
    return makingUp.size();
  }

  /** Its peak in dBFS. */
  public double levelDb() {
    return Decibels.ofAmplitude(peak);
  }

  /** How far the peak stands above the average peak, in dB. */
  public double excessDb() {
    return Decibels.ofAmplitude(peak) - Decibels.ofAmplitude(averagePeak);
  }

  static SavedMoment read(Fields fields) throws IOException {
    return new SavedMoment(
        fields.needWhole("frame"),
        fields.needInt("channel"),
        fields.needNumber("peak"),
        fields.needNumber("averagePeak"),
        fields.needNumber("line"),
        fields.needWhole("firstOver"),
        fields.needWhole("lastOver"),
        fields.needWhole("overFrames"),
        fields.needWhole("longestRun"),
        fields.flag("long"),
        fields.integers("makingUp"),
        fields.needInt("alikeTo"),
        fields.needInt("alike"),
        fields.number("instant").orElse(0),
        fields.number("told"),
        fields.unknown());
  }

  JsonTree.Obj write() {
    return new ObjectBuilder()
        .whole("frame", peakFrame)
        .whole("channel", channel)
        .number("peak", peak)
        .number("averagePeak", averagePeak)
        .number("line", line)
        .whole("firstOver", firstOver)
        .whole("lastOver", lastOver)
        .whole("overFrames", overFrames)
        .whole("longestRun", longestRun)
        .flag("long", isLong)
        .array("makingUp", makingUp, k -> ObjectBuilder.wholeOf(k))
        .whole("alikeTo", alikeTo)
        .whole("alike", alike)
        .number("instant", instant)
        .number("told", told)
        .with(unknown);
  }
}
