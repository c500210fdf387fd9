package cairn.collisions;

import cairn.collisions.line.Baseline;
import cairn.collisions.line.FirstPass;
import cairn.collisions.line.Gate;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Line;
import cairn.collisions.line.Summary;
import cairn.collisions.line.WindowGrid;
import cairn.collisions.loudness.Goal;
import cairn.collisions.loudness.KWeighting;
import cairn.collisions.loudness.LimiterWork;
import cairn.collisions.loudness.Loudness;
import cairn.collisions.loudness.LoudnessSummary;
import cairn.collisions.loudness.Metering;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.MomentFinder;
import cairn.collisions.moment.OverLine;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Crew;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;

/**
 * From stems to a {@link Pass}: a first pass that reads everything once and keeps a summary, and a
 * second, sparse one that reads again what lies about the line.
 *
 * <p>The result is the same to the bit for any crew and any block size. Memory grows with the
 * length of the song and the number of moments, not with the size of the stems.
 */
public final class Analysis {

  /** Frames that are read at a time: long enough for the disk, short enough for the cache. */
  public static final int READ_FRAMES = 32_768;

  /**
   * Most contributions, over all moments, that a pass holds: 36 MB. A line that asks for more lies
   * inside the music.
   */
  private static final int MOST_CONTRIBUTIONS = 1_000_000;

  private final Session session;
  private final StemSource source;
  private final Crew crew;
  private final Progress progress;
  private final int readFrames;
  private final PassMemory memory;

  /** An analysis that reads {@link #READ_FRAMES} at a time. */
  public Analysis(Session session, StemSource source, Crew crew, Progress progress) {
    this(session, source, crew, progress, READ_FRAMES);
  }

  /**
   * @param readFrames frames to read at a time; the result does not depend on it
   */
  public Analysis(
      Session session, StemSource source, Crew crew, Progress progress, int readFrames) {
    this(session, source, crew, progress, readFrames, PassMemory.NONE);
  }

  private Analysis(
      Session session,
      StemSource source,
      Crew crew,
      Progress progress,
      int readFrames,
      PassMemory memory) {
    this.memory = Objects.requireNonNull(memory, "memory");
    this.session = Objects.requireNonNull(session, "session");
    this.source = Objects.requireNonNull(source, "source");
    this.crew = Objects.requireNonNull(crew, "crew");
    this.progress = Objects.requireNonNull(progress, "progress");
    if (readFrames < 1) {
      throw new IllegalArgumentException("readFrames must be >= 1: readFrames=" + readFrames);
    }
    this.readFrames = readFrames;
  }

  /** The same analysis, which asks a memory first and tells it what it had to work out. */
  public Analysis with(PassMemory newMemory) {
    return new Analysis(session, source, crew, progress, readFrames, newMemory);
  }

  /**
   * Analyses the session.
   *
   * @throws IOException if a stem cannot be read
   * @throws Unanalysable if there is nothing to analyse, or too much
   * @throws java.util.concurrent.CancellationException if {@code progress} said so
   */
  public Pass run(Settings settings) throws IOException, Unanalysable {
    TimeRange range = rangeInSong(settings);
    WindowGrid grid =
        settings
            .beatWindows()
            .map(tempo -> WindowGrid.beats(range, session.sampleRateHz(), tempo))
            .orElseGet(() -> WindowGrid.halfSeconds(range, session.sampleRateHz()));
    FirstPass.Measured measured = firstPass(grid, settings.mode(), metering(settings));
    Summary summary = measured.summary();
    HeldLine line = draw(summary, settings);
    Optional<LimiterWork> limiter = limiter(settings, measured, line.loudPart());
    if (settings.goalDrawsLine()) {
      line = line.with(new Line.Level(limiter.orElseThrow().goalLineDb()));
    }
    OverLine over = overLine(summary, line);
    List<Moment> moments = over.moments();
    return new Pass(
        session,
        settings,
        summary,
        line,
        moments,
        over.runs(),
        figures(summary, moments),
        measured.loudness(),
        limiter);
  }

  private FirstPass.Measured firstPass(WindowGrid grid, PeakMode mode, Metering metering)
      throws IOException {
    Optional<FirstPass.Measured> known = memory.find(session, grid, mode, metering);
    if (known.isPresent()) {
      return known.get();
    }
    FirstPass.Measured measured =
        FirstPass.run(session, source, grid, readFrames, mode, metering, crew, progress);
    memory.keep(session, grid, mode, measured);
    return measured;
  }

  /**
   * The loudness of bus and stems over the windows of a pass that did without that of the stems; at
   * a sample rate that the weighting covers.
   */
  public LoudnessSummary stemLoudness(Pass pass) throws IOException {
    return firstPass(pass.summary().grid(), pass.settings().mode(), Metering.STEMS)
        .loudness()
        .orElseThrow();
  }

  /** Nothing where the sample rate allows none; a goal cannot do without. */
  private Metering metering(Settings settings) throws Unanalysable {
    if (KWeighting.covers(session.sampleRateHz())) {
      return settings.metering();
    }
    if (settings.goal().isPresent()) {
      throw new Unanalysable.NoLoudness(
          Unanalysable.NoLoudness.Why.RATE, new TimeRange(0, session.frames()));
    }
    return Metering.NONE;
  }

  private Optional<LimiterWork> limiter(
      Settings settings, FirstPass.Measured measured, TimeRange loudPart) throws Unanalysable {
    if (settings.goal().isEmpty()) {
      return Optional.empty();
    }
    Goal goal = settings.goal().get();
    TimeRange part = goal.part() == Goal.Part.LOUD ? loudPart : measured.summary().grid().range();
    Loudness loudness = Loudness.of(measured.loudness().orElseThrow().bus(), part);
    if (loudness.integratedLufs().isEmpty()) {
      throw new Unanalysable.NoLoudness(
          loudness.isLongEnough()
              ? Unanalysable.NoLoudness.Why.BELOW_GATE
              : Unanalysable.NoLoudness.Why.TOO_SHORT,
          part);
    }
    return Optional.of(new LimiterWork(goal, loudness.integratedLufs().getAsDouble()));
  }

  /**
   * How many moments another line would leave; reads only what lies about that line.
   *
   * @param pass a pass of this session
   */
  public int count(Pass pass, Line line) throws IOException {
    return finder(pass.summary()).count(pass.line().with(line));
  }

  /**
   * The same pass with another line: its moments are found anew, and only what lies about that line
   * is read.
   *
   * @param pass a pass of this session
   * @param line a line over the pass's own average peak
   * @throws Unanalysable if there are too many moments
   */
  public Pass atLine(Pass pass, HeldLine line) throws IOException, Unanalysable {
    OverLine over = overLine(pass.summary(), line);
    List<Moment> moments = over.moments();
    return new Pass(
        pass.session(),
        pass.settings(),
        pass.summary(),
        line,
        moments,
        over.runs(),
        figures(pass.summary(), moments),
        pass.loudness(),
        pass.limiter());
  }

  private OverLine overLine(Summary summary, HeldLine line) throws IOException, Unanalysable {
    Optional<OverLine> known = memory.findMoments(session, line);
    if (known.isPresent()) {
      return known.get();
    }
    OverLine found = finder(summary).overLine(line, mostMoments());
    memory.keepMoments(session, line, found);
    return found;
  }

  private int mostMoments() {
    return Math.max(1000, MOST_CONTRIBUTIONS / session.stems().size());
  }

  private MomentFinder finder(Summary summary) {
    return new MomentFinder(session, source, summary, crew, progress);
  }

  private TimeRange rangeInSong(Settings settings) throws Unanalysable {
    long frames = session.frames();
    TimeRange song = new TimeRange(0, frames);
    TimeRange asked = settings.range().orElse(song);
    if (asked.firstFrame() >= frames) {
      throw new Unanalysable.Outside("range", asked, song);
    }
    return new TimeRange(asked.firstFrame(), Math.min(asked.endFrame(), frames));
  }

  private HeldLine draw(Summary summary, Settings settings) throws Unanalysable {
    TimeRange range = summary.grid().range();
    TimeRange section = settings.section().orElse(range);
    if (section.firstFrame() >= range.endFrame() || section.endFrame() <= range.firstFrame()) {
      throw new Unanalysable.Outside("section", section, range);
    }
    return HeldLine.draw(
            summary,
            session.sampleRateHz(),
            settings.baseline(),
            settings.section(),
            settings.line(),
            settings.mode())
        .orElseThrow(
            () -> new Unanalysable.Silent(settings.baseline() == Baseline.LOUD ? section : range));
  }

  private List<StemFigures> figures(Summary summary, List<Moment> moments) {
    int stems = session.stems().size();
    int[] leads = new int[stems];
    int[] alone = new int[stems];
    for (Moment moment : moments) {
      for (Contribution contribution : moment.leading()) {
        leads[contribution.stem()]++;
      }
      if (moment.isLone()) {
        alone[moment.contributions().get(0).stem()]++;
      }
    }
    List<StemFigures> figures = new ArrayList<>(stems);
    for (int k = 0; k < stems; k++) {
      double[] peaks = summary.stemWindowPeaks(k);
      figures.add(
          new StemFigures(
              summary.stemPeak(k), Gate.averagePeak(peaks, 0, peaks.length), leads[k], alone[k]));
    }
    return figures;
  }
}
