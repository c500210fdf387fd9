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
import cairn.collisions.line.Summary;
import cairn.collisions.line.WindowGrid;
import cairn.collisions.plan.EarlierMoment;
import cairn.collisions.plan.EarlierPass;
import cairn.collisions.plan.EarlierStem;
import cairn.collisions.plan.PeakTrack;
import cairn.collisions.plan.ShiftFinder;
import cairn.collisions.time.TempoMap;
import cairn.io.stems.StemFile;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;

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
 * @param shiftFrames by how much it is later than the pass before, below 0: earlier; empty: the
 *     first, or it is not compared with the one before
 * @param busPeaks peaks of the bus's blocks, as far as a shift is found from them; empty: not kept
 * @param marks the fixes that were made in it, once a later one has begun
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
    OptionalLong shiftFrames,
    Optional<SavedPeaks> busPeaks,
    List<SavedMark> marks,
    Unknown unknown) {

  /**
   * A stem as it was at a pass.
   *
   * @param ref what it was known by
   * @param channels 1 or 2
   * @param frames length in frames
   * @param peak its largest level on the bus, linear
   * @param averagePeak its own average peak, linear; empty: silent
   * @param stamp which files it was in
   * @param windowPeaks its peaks in the windows, mute and solo left aside; empty: not kept
   * @param marked the frames that the marks of this pass change
   * @param unknown fields of a later version
   */
  public record PassStem(
      StemRef ref,
      int channels,
      long frames,
      double peak,
      OptionalDouble averagePeak,
      Stamp stamp,
      Optional<SavedPeaks> windowPeaks,
      List<TimeRange> marked,
      Unknown unknown) {
    public PassStem {
      Objects.requireNonNull(ref, "ref");
      Objects.requireNonNull(averagePeak, "averagePeak");
      Objects.requireNonNull(stamp, "stamp");
      Objects.requireNonNull(windowPeaks, "windowPeaks");
      Objects.requireNonNull(unknown, "unknown");
      marked = List.copyOf(marked);
    }

    private PassStem withMarked(List<TimeRange> newMarked) {
      return new PassStem(
          ref, channels, frames, peak, averagePeak, stamp, windowPeaks, newMarked, unknown);
    }

    private PassStem withoutPeaks() {
      return new PassStem(
          ref, channels, frames, peak, averagePeak, stamp, Optional.empty(), List.of(), unknown);
    }

    static PassStem read(Fields fields) throws IOException {
      return new PassStem(
          StemRef.read(fields),
          fields.needInt("channels"),
          fields.needWhole("frames"),
          fields.needNumber("peak"),
          fields.number("averagePeak"),
          new Stamp(fields.whole("bytes").orElse(0), fields.whole("modifiedMs").orElse(0)),
          fields.text("windowPeaks").map(SavedPeaks::new),
          fields.ranges("marked"),
          fields.unknown());
    }

    JsonTree.Obj write() {
      ObjectBuilder object =
          ref.write()
              .whole("channels", channels)
              .whole("frames", frames)
              .number("peak", peak)
              .number("averagePeak", averagePeak)
              .whole("bytes", stamp.bytes())
              .whole("modifiedMs", stamp.modifiedMillis())
              .text("windowPeaks", windowPeaks.map(SavedPeaks::packed));
      if (!marked.isEmpty()) {
        object.array("marked", marked, ObjectBuilder::rangeOf);
      }
      return object.with(unknown);
    }
  }

  /**
   * Which files a stem was in, so that unchanged ones are known without being read.
   *
   * @param bytes how long they are
   * @param modifiedMillis when the latest of them was changed, in ms since 1970; 0: not known
   */
  public record Stamp(long bytes, long modifiedMillis) {

    /** Nothing is known of them. */
    public static final Stamp NONE = new Stamp(0, 0);

    /** That of a stem's files as they are now. */
    public static Stamp of(StemFile stem) throws IOException {
      long bytes = 0;
      long modifiedMillis = 0;
      for (Path path : stem.paths()) {
        bytes += Files.size(path);
        modifiedMillis = Math.max(modifiedMillis, Files.getLastModifiedTime(path).toMillis());
      }
      return new Stamp(bytes, modifiedMillis);
    }
  }

  public SavedPass {
    Objects.requireNonNull(when, "when");
    Objects.requireNonNull(range, "range");
    Objects.requireNonNull(mode, "mode");
    Objects.requireNonNull(baseline, "baseline");
    Objects.requireNonNull(asked, "asked");
    Objects.requireNonNull(loudPart, "loudPart");
    Objects.requireNonNull(shiftFrames, "shiftFrames");
    Objects.requireNonNull(busPeaks, "busPeaks");
    Objects.requireNonNull(unknown, "unknown");
    marks = List.copyOf(marks);
    averagePeaks = List.copyOf(averagePeaks);
    stems = List.copyOf(stems);
    moments = moments instanceof KeptMoments ? moments : List.copyOf(moments);
    if (number < 1) {
      throw new IllegalArgumentException("passes count from 1: number=" + number);
    }
    if (sampleRateHz < 1) {
      throw new IllegalArgumentException("sampleRateHz must be >= 1: sampleRateHz=" + sampleRateHz);
    }
    if (averagePeaks.isEmpty() || averagePeaks.stream().anyMatch(a -> !(a > 0))) {
      throw new IllegalArgumentException("there must be average peaks, all over 0");
    }
    if (!(moments instanceof KeptMoments)) {
      SavedMoment.checkAll(moments, stems.size());
    }
  }

  /**
   * What is kept of a pass; nothing told yet.
   *
   * @param number 1 for the first of the session
   * @param when when it was made
   * @param refs what its stems are known by, in session order
   * @param stamps their files, in session order
   */
  public static SavedPass of(
      int number, Instant when, Pass pass, List<StemRef> refs, List<Stamp> stamps) {
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
              stamps.get(k),
              Optional.of(SavedPeaks.of(PeakTrack.of(pass.summary().stemWindowPeaks(k)))),
              List.of(),
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
        OptionalLong.empty(),
        Optional.of(SavedPeaks.of(ShiftFinder.compared(PeakTrack.of(pass.summary().blockPeaks())))),
        List.of(),
        Unknown.NONE);
  }

  /** A pass that is being changed, so that no change has to name all that stays. */
  private SavedPass with(
      List<PassStem> newStems,
      List<SavedMoment> newMoments,
      OptionalLong newShift,
      Optional<SavedPeaks> newPeaks,
      List<SavedMark> newMarks) {
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
        newStems,
        newMoments,
        newShift,
        newPeaks,
        newMarks,
        unknown);
  }

  /** The same with other moments: those with what was told. */
  public SavedPass withMoments(List<SavedMoment> newMoments) {
    return with(stems, newMoments, shiftFrames, busPeaks, marks);
  }

  /**
   * The same with what its marks tell and where they act.
   *
   * @param earlier what a what-if of this pass says
   */
  public SavedPass withTold(EarlierPass earlier) {
    List<SavedMoment> told = new ArrayList<>();
    for (int i = 0; i < moments.size(); i++) {
      told.add(moments.get(i).withTold(earlier.moments().get(i).told()));
    }
    List<PassStem> marked = new ArrayList<>();
    for (int k = 0; k < stems.size(); k++) {
      marked.add(stems.get(k).withMarked(earlier.stems().get(k).marked()));
    }
    return with(marked, told, shiftFrames, busPeaks, marks);
  }

  /** The same, later by so much than the pass before. */
  public SavedPass withShift(OptionalLong newShift) {
    return with(stems, moments, newShift, busPeaks, marks);
  }

  /** The same, once it is over, with the fixes that were made in it. */
  public SavedPass withMarks(List<SavedMark> newMarks) {
    return with(stems, moments, shiftFrames, busPeaks, newMarks);
  }

  /** The same without what only the next pass is compared with. */
  public SavedPass withoutPeaks() {
    return with(
        stems.stream().map(PassStem::withoutPeaks).toList(),
        moments,
        shiftFrames,
        Optional.empty(),
        marks);
  }

  /** The same without its moments: nothing is compared with it any more. */
  SavedPass withoutMoments() {
    return with(stems, List.of(), shiftFrames, busPeaks, marks);
  }

  /**
   * What a later pass is compared with; empty: too little was kept, or its line moved along.
   *
   * @param tempo whose beats the windows were, if they were
   */
  public Optional<EarlierPass> earlier(Optional<TempoMap> tempo) {
    if (averagePeaks.size() > 1 || (windowFrames == 0 && tempo.isEmpty())) {
      return Optional.empty();
    }
    WindowGrid grid =
        windowFrames == 0
            ? WindowGrid.beats(range, sampleRateHz, tempo.get())
            : WindowGrid.halfSeconds(range, sampleRateHz);
    List<EarlierStem> known = new ArrayList<>();
    for (PassStem stem : stems) {
      Optional<PeakTrack> track = stem.windowPeaks().map(SavedPeaks::track);
      if (track.isPresent() && track.get().size() == grid.windows()) {
        known.add(new EarlierStem(stem.ref().name(), stem.channels(), track.get(), stem.marked()));
      }
    }
    int blocks = Summary.ofSilence(grid, sampleRateHz).blocks();
    return Optional.of(
        new EarlierPass(
            sampleRateHz,
            grid,
            asked.level(averagePeaks.get(0)),
            averagePeaks.get(0),
            moments.stream()
                .map(
                    m ->
                        new EarlierMoment(
                            m.peakFrame(), m.firstOver(), m.lastOver(), m.peak(), m.told()))
                .toList(),
            known.size() == stems.size() ? known : List.of(),
            busPeaks.map(SavedPeaks::track).filter(track -> track.size() == blocks)));
  }

  /**
   * Whether stems are those of this pass and their files were not touched.
   *
   * @param refs what they are known by
   * @param stamps their files, in the same order
   */
  public boolean isUntouched(List<StemRef> refs, List<Stamp> stamps) {
    if (refs.size() != stems.size()) {
      return false;
    }
    for (PassStem stem : stems) {
      int at = refs.indexOf(stem.ref());
      if (at < 0 || stem.stamp().equals(Stamp.NONE) || !stem.stamp().equals(stamps.get(at))) {
        return false;
      }
    }
    return true;
  }

  /**
   * Whether other stems are those of this pass: their files were not touched, or what they sound
   * like in every window is the same.
   *
   * @param now a later pass over them, without marks
   */
  public boolean isOf(SavedPass now) {
    if (now.stems.size() != stems.size()) {
      return false;
    }
    boolean untouched = true;
    boolean comparable =
        now.range.equals(range) && now.windowFrames == windowFrames && now.mode == mode;
    for (PassStem stem : stems) {
      Optional<PassStem> same =
          now.stems.stream().filter(other -> other.ref().equals(stem.ref())).findFirst();
      if (same.isEmpty()) {
        return false;
      }
      untouched &= !stem.stamp().equals(Stamp.NONE) && stem.stamp().equals(same.get().stamp());
      comparable &=
          stem.channels() == same.get().channels()
              && stem.frames() == same.get().frames()
              && stem.windowPeaks().isPresent()
              && stem.windowPeaks()
                  .map(SavedPeaks::track)
                  .equals(same.get().windowPeaks().map(SavedPeaks::track));
    }
    return untouched || comparable;
  }

  /** The bus peak in dBFS. */
  public double peakDb() {
    return Decibels.ofAmplitude(peak);
  }

  /**
   * Reads a pass.
   *
   * @param kept what may wait
   */
  static SavedPass read(Fields fields, KeptMoments.Split kept) throws IOException {
    int number = fields.needInt("number");
    String when = fields.needText("when");
    try {
      return read(number, Instant.parse(when), fields, kept);
    } catch (DateTimeException e) {
      throw new IllegalArgumentException(
          "when must be a time such as 2024-02-10T21:30:00Z: " + when, e);
    }
  }

  private static SavedPass read(int number, Instant when, Fields fields, KeptMoments.Split kept)
      throws IOException {
    List<PassStem> stems = fields.objects("stems", PassStem::read);
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
        stems,
        kept.of(fields, stems.size()),
        fields.whole("shift"),
        fields.text("busPeaks").map(SavedPeaks::new),
        fields.objects("marks", SavedMark::read),
        fields.unknown());
  }

  JsonTree.Obj write() throws IOException {
    KeptMoments.Printed printed = KeptMoments.Printed.of(moments, stems.size());
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
    object
        .array("averagePeaks", averagePeaks, ObjectBuilder::numberOf)
        .range("loudPart", loudPart)
        .number("peak", peak)
        .whole("peakFrame", peakFrame)
        .array("stems", stems, PassStem::write)
        .text(KeptMoments.CHECK, printed.check())
        .printed("moments", printed.array())
        .text("busPeaks", busPeaks.map(SavedPeaks::packed));
    shiftFrames.ifPresent(frames -> object.whole("shift", frames));
    if (!marks.isEmpty()) {
      object.array("marks", marks, SavedMark::write);
    }
    return object.with(unknown);
  }
}
