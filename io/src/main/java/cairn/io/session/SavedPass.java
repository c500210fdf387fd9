package cairn.io.session;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.PeakMode;
import cairn.collisions.Stem;
import cairn.collisions.StemFigures;
import cairn.collisions.TimeRange;
import cairn.collisions.line.Baseline;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Line;
import java.io.IOException;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.OptionalDouble;

/**
 * One analysis of the stems as a later one is compared with it; definitions.md, 5.
 *
 * @param number 1 for the first of the session
 * @param when when it was made
 * @param sampleRateHz sample rate in Hz
 * @param range what was looked at
 * @param windowFrames length of a window in frames; 0: windows are beats
 * @param mode what levels were read from
 * @param baseline which windows the average peak is the mean of
 * @param asked how the line was asked for
 * @param averagePeaks {@code A}, linear: one for the whole song, or one a window of a local
 *     baseline; so the line at a window is {@code asked.level(A)}, to the bit
 * @param loudPart the loud part, found or named, in whole windows
 * @param peak largest {@code p} of the bus, linear
 * @param peakFrame first frame of it
 * @param stems the stems as they were
 * @param moments all moments, by rank
 * @param unknown fields of a later version
 */
public record SavedPass(
    int number,
    Instant when,
    int sampleRateHz,
    TimeRange range,
    int windowFrames,
    PeakMode mode,
    Baseline baseline,
    Line asked,
    List<Double> averagePeaks,
    TimeRange loudPart,
    double peak,
    long peakFrame,
    List<PassStem> stems,
    List<SavedMoment> moments,
    Unknown unknown) {

  /**
   * A stem as it was at a pass.
   *
   * @param ref what it was known by
   * @param channels 1 or 2
   * @param frames length in frames
   * @param peak its largest level on the bus, linear
   * @param averagePeak its own average peak, linear; empty: silent
   * @param unknown fields of a later version
   */
  public record PassStem(
      StemRef ref,
      int channels,
      long frames,
      double peak,
      OptionalDouble averagePeak,
      Unknown unknown) {
    public PassStem {
      Objects.requireNonNull(ref, "ref");
      Objects.requireNonNull(averagePeak, "averagePeak");
      Objects.requireNonNull(unknown, "unknown");
    }

    static PassStem read(Fields fields) throws IOException {
      return new PassStem(
          StemRef.read(fields),
          fields.needInt("channels"),
          fields.needWhole("frames"),
          fields.needNumber("peak"),
          fields.number("averagePeak"),
          fields.unknown());
    }

    JsonTree.Obj write() {
      return ref.write()
          .whole("channels", channels)
          .whole("frames", frames)
          .number("peak", peak)
          .number("averagePeak", averagePeak)
          .with(unknown);
    }
  }

  public SavedPass {
    Objects.requireNonNull(when, "when");
    Objects.requireNonNull(range, "range");
    Objects.requireNonNull(mode, "mode");
    Objects.requireNonNull(baseline, "baseline");
    Objects.requireNonNull(asked, "asked");
    Objects.requireNonNull(loudPart, "loudPart");
    Objects.requireNonNull(unknown, "unknown");
    averagePeaks = List.copyOf(averagePeaks);
    stems = List.copyOf(stems);
    moments = List.copyOf(moments);
    if (number < 1) {
      throw new IllegalArgumentException("passes count from 1: number=" + number);
    }
    if (sampleRateHz < 1) {
      throw new IllegalArgumentException("sampleRateHz must be >= 1: sampleRateHz=" + sampleRateHz);
    }
    if (averagePeaks.isEmpty() || averagePeaks.stream().anyMatch(a -> !(a > 0))) {
      throw new IllegalArgumentException("there must be average peaks, all over 0");
    }
    for (SavedMoment moment : moments) {
      for (int k : moment.makingUp()) {
        if (k < 0 || k >= stems.size()) {
          throw new IllegalArgumentException(
              "makingUp must name stems 0 to " + (stems.size() - 1) + ": stem=" + k);
        }
      }
      if (moment.alikeTo() < 1 || moment.alikeTo() > moments.size()) {
        throw new IllegalArgumentException(
            "alikeTo must be a rank, 1 to " + moments.size() + ": alikeTo=" + moment.alikeTo());
      }
    }
  }

  /**
   * What is kept of a pass; nothing told yet.
   *
   * @param number 1 for the first of the session
   * @param when when it was made
   * @param refs what its stems are known by, in session order
   */
  public static SavedPass of(int number, Instant when, Pass pass, List<StemRef> refs) {
    List<Stem> stems = pass.session().stems();
    List<PassStem> kept = new ArrayList<>();
    for (int k = 0; k < stems.size(); k++) {
      StemFigures figures = pass.stems().get(k);
      kept.add(
          new PassStem(
              refs.get(k),
              stems.get(k).channels(),
              stems.get(k).frames(),
              figures.peak(),
              figures.averagePeak(),
              Unknown.NONE));
    }
    HeldLine line = pass.line();
    int different = line.averagePeak().isLocal() ? line.grid().windows() : 1;
    List<Double> averagePeaks = new ArrayList<>();
    for (int j = 0; j < different; j++) {
      averagePeaks.add(line.averagePeak().at(j));
    }
    boolean beats = pass.settings().beatWindows().isPresent();
    return new SavedPass(
        number,
        when,
        pass.session().sampleRateHz(),
        pass.range(),
        beats ? 0 : Math.toIntExact(line.grid().endFrame(0) - line.grid().firstFrame(0)),
        pass.settings().mode(),
        pass.settings().baseline(),
        line.line(),
        averagePeaks,
        line.loudPart(),
        pass.peak(),
        pass.summary().peakFrame(),
        kept,
        pass.moments().stream().map(SavedMoment::of).toList(),
        Unknown.NONE);
  }

  /** The same with other moments: those with what was told. */
  public SavedPass withMoments(List<SavedMoment> newMoments) {
    return new SavedPass(
        number,
        when,
        sampleRateHz,
        range,
        windowFrames,
        mode,
        baseline,
        asked,
        averagePeaks,
        loudPart,
        peak,
        peakFrame,
        stems,
        newMoments,
        unknown);
  }

  /** The bus peak in dBFS. */
  public double peakDb() {
    return Decibels.ofAmplitude(peak);
  }

  static SavedPass read(Fields fields) throws IOException {
    int number = fields.needInt("number");
    String when = fields.needText("when");
    try {
      return read(number, Instant.parse(when), fields);
    } catch (DateTimeException e) {
      throw new IllegalArgumentException(
          "when must be a time such as 2024-02-10T21:30:00Z: " + when, e);
    }
  }

  private static SavedPass read(int number, Instant when, Fields fields) throws IOException {
    return new SavedPass(
        number,
        when,
        fields.needInt("sampleRate"),
        fields.needRange("range"),
        fields.needInt("windowFrames"),
        fields.word("mode", PeakMode.class).orElse(PeakMode.SAMPLE_PEAK),
        fields.needWord("baseline", Baseline.class),
        SavedSettings.readLine(fields),
        fields.numbers("averagePeaks"),
        fields.needRange("loudPart"),
        fields.needNumber("peak"),
        fields.needWhole("peakFrame"),
        fields.objects("stems", PassStem::read),
        fields.objects("moments", SavedMoment::read),
        fields.unknown());
  }

  JsonTree.Obj write() {
    ObjectBuilder object =
        new ObjectBuilder()
            .whole("number", number)
            .text("when", when.toString())
            .whole("sampleRate", sampleRateHz)
            .range("range", range)
            .whole("windowFrames", windowFrames)
            .word("mode", mode)
            .word("baseline", baseline);
    SavedSettings.writeLine(asked, object);
    return object
        .array("averagePeaks", averagePeaks, ObjectBuilder::numberOf)
        .range("loudPart", loudPart)
        .number("peak", peak)
        .whole("peakFrame", peakFrame)
        .array("stems", stems, PassStem::write)
        .array("moments", moments, SavedMoment::write)
        .with(unknown);
  }
}
