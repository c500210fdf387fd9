package cairn.collisions.plan;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.TimeRange;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Line;
import cairn.collisions.line.Summary;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.MomentFinder;
import cairn.collisions.moment.OverFrames;
import cairn.collisions.moment.OverRun;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.Crew;
import cairn.collisions.signal.Levels;
import cairn.collisions.signal.MixDown;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * A later pass held against an earlier one, at the earlier one's line; definitions.md, 5.
 *
 * @param earlier what was kept of the earlier pass
 * @param shiftFrames by how many frames the later pass is later; below 0: earlier
 * @param averagePeakNow {@code A} of the later pass, linear, beside the one that is held
 * @param fates what became of each earlier moment, in the order of {@code earlier.moments()}
 * @param fresh moments of the later pass that lie in no earlier neighbourhood, by peak downwards,
 *     the earlier in time on a tie; in the frames of the later pass
 * @param stems what became of the stems
 */
public record PassComparison(
    EarlierPass earlier,
    long shiftFrames,
    double averagePeakNow,
    List<Fate> fates,
    List<Fresh> fresh,
    StemChanges stems) {

  /** Told and got may differ by so much, in dB: definitions.md, 5. */
  private static final double MOST_DIFFERENCE_DB = 0.3;

  /** A moment is lower if its peak fell by 0.1 dB or more: definitions.md, 5. */
  private static final double LOWER_FACTOR = Decibels.toFactor(-0.1);

  /** What became of a moment. */
  public enum State {
    /** Nothing in its neighbourhood is over the line any more. */
    GONE,
    /** It is over the line, its peak lower by 0.1 dB or more. */
    LOWER,
    /** It is over the line as before, or higher. */
    STILL,
    /** It was not there. */
    NEW
  }

  /**
   * What became of an earlier moment.
   *
   * @param moment the moment
   * @param state gone, lower or still there
   * @param peakNow {@code q}: the largest level now in its neighbourhood, linear
   */
  public record Fate(EarlierMoment moment, State state, double peakNow) {

    /** By how much the what-if let the peak fall, in dB; below 0: rise. Empty: no marks known. */
    public OptionalDouble toldDb() {
      return moment.told().isPresent()
          ? OptionalDouble.of(fellDb(moment.told().getAsDouble()))
          : OptionalDouble.empty();
    }

    /** By how much the peak fell, in dB; below 0: it rose. To silence: infinite. */
    public double gotDb() {
      return fellDb(peakNow);
    }

    private double fellDb(double level) {
      return Decibels.ofAmplitude(moment.peak()) - Decibels.ofAmplitude(level);
    }

    /** Whether told and got differ by so much that something after the stems must do it. */
    public boolean pointsToProcessing() {
      return toldDb().isPresent()
          && Math.abs(toldDb().getAsDouble() - gotDb()) > MOST_DIFFERENCE_DB;
    }
  }

  /**
   * A moment that was not there.
   *
   * @param peakFrame its peak frame in the later pass
   * @param peak its peak, linear
   */
  public record Fresh(long peakFrame, double peak) {}

  public PassComparison {
    Objects.requireNonNull(earlier, "earlier");
    Objects.requireNonNull(stems, "stems");
    fates = List.copyOf(fates);
    fresh = List.copyOf(fresh);
  }

  /**
   * Compares.
   *
   * @param shiftFrames the common shift, as a {@link ShiftFinder} found it; else 0
   * @param now the later pass, at any line, at the same sample rate, its levels read from what
   *     those of the earlier one were
   * @param source its stems
   */
  public static PassComparison of(
      EarlierPass earlier, long shiftFrames, Pass now, StemSource source, Crew crew)
      throws IOException {
    int rate = now.session().sampleRateHz();
    if (earlier.sampleRateHz() != rate) {
      throw new IllegalArgumentException(
          "sample rates must be the same: earlier=" + earlier.sampleRateHz() + ", now=" + rate);
    }
    long gapFrames = OverFrames.gapFrames(rate);
    List<Fate> fates = fates(earlier, shiftFrames, now, source, crew);
    Neighbourhoods neighbourhoods = new Neighbourhoods(earlier.moments(), gapFrames);
    List<Fresh> fresh = new ArrayList<>();
    for (Fresh moment : overLine(earlier.lineLevel(), now, source, crew)) {
      if (neighbourhoods.holding(moment.peakFrame() - shiftFrames) < 0) {
        fresh.add(moment);
      }
    }
    fresh.sort(
        Comparator.comparingDouble((Fresh moment) -> -moment.peak())
            .thenComparingLong(Fresh::peakFrame));
    return new PassComparison(
        earlier,
        shiftFrames,
        now.line().averagePeak().overall(),
        fates,
        fresh,
        StemChanges.between(earlier, shiftFrames, now));
  }

  /** How many moments are in a state. */
  public int count(State state) {
    return state == State.NEW
        ? fresh.size()
        : (int) fates.stream().filter(fate -> fate.state() == state).count();
  }

  /**
   * For each of some frames of the later pass the earlier moment in whose neighbourhood it lies.
   * Where two neighbourhoods overlap, that of the nearer span, the earlier one on a tie.
   */
  public List<Optional<Fate>> at(long... frames) {
    long gapFrames = OverFrames.gapFrames(earlier.sampleRateHz());
    Neighbourhoods neighbourhoods = new Neighbourhoods(earlier.moments(), gapFrames);
    List<Optional<Fate>> found = new ArrayList<>(frames.length);
    for (long frame : frames) {
      int place = neighbourhoods.holding(frame - shiftFrames);
      found.add(place < 0 ? Optional.empty() : Optional.of(fates.get(place)));
    }
    return found;
  }

  private static List<Fate> fates(
      EarlierPass earlier, long shiftFrames, Pass now, StemSource source, Crew crew)
      throws IOException {
    Fate[] fates = new Fate[earlier.moments().size()];
    Summary summary = now.summary();
    long gapFrames = OverFrames.gapFrames(earlier.sampleRateHz());
    crew.share(
        fates.length,
        () -> {
          MixDown mixDown = new MixDown(now.session(), source.openReader());
          LargestLevel largest =
              new LargestLevel(summary, summary::blockPeak, where -> peak(now, mixDown, where));
          return new Crew.Worker() {
            @Override
            public void work(int task) throws IOException {
              EarlierMoment moment = earlier.moments().get(task);
              double peak =
                  largest.in(
                      moment.firstOver() - gapFrames + shiftFrames,
                      moment.lastOver() + 1 + gapFrames + shiftFrames);
              fates[task] = new Fate(moment, state(moment, peak, earlier.lineLevel()), peak);
            }

            @Override
            public void close() throws IOException {
              mixDown.close();
            }
          };
        });
    return List.of(fates);
  }

  private static double peak(Pass now, MixDown mixDown, TimeRange where) throws IOException {
    Levels reading = Levels.of(now.line().mode());
    int reach = reading.reach();
    int frames = Math.toIntExact(where.frames()) + 2 * reach;
    long first = where.firstFrame() - reach;
    double[][] bus = Block.stereo(frames);
    mixDown.sum(first, frames, bus);
    // Only frames that levels reach for can lie outside the range that is looked at.
    Block.clear(bus, 0, (int) Math.max(0, now.range().firstFrame() - first));
    Block.clear(bus, (int) Math.min(frames, now.range().endFrame() - first), frames);
    double[] levels = new double[frames];
    reading.levels(levels, bus, reach, frames - reach);
    return Block.peak(levels, reach, frames - reach);
  }

  private static State state(EarlierMoment moment, double peakNow, double lineLevel) {
    if (peakNow <= lineLevel) {
      return State.GONE;
    }
    return peakNow <= moment.peak() * LOWER_FACTOR ? State.LOWER : State.STILL;
  }

  private static List<Fresh> overLine(double level, Pass now, StemSource source, Crew crew)
      throws IOException {
    List<Fresh> found = new ArrayList<>();
    if (now.line().isLevel() && now.line().level(0) == level) {
      for (Moment moment : now.moments()) {
        found.add(new Fresh(moment.peakFrame(), moment.peak()));
      }
      return found;
    }
    HeldLine held = now.line().with(new Line.Held(level));
    MomentFinder finder =
        new MomentFinder(now.session(), source, now.summary(), crew, Progress.NONE);
    for (OverRun run : finder.runs(held)) {
      found.add(new Fresh(run.peakFrame(), run.peak()));
    }
    return found;
  }
}
