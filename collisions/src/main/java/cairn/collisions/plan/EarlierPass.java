package cairn.collisions.plan;

import cairn.collisions.Pass;
import cairn.collisions.TimeRange;
import cairn.collisions.line.Summary;
import cairn.collisions.line.WindowGrid;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverFrames;
import cairn.collisions.signal.Block;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * What must be kept of a pass so that a later one can be compared with it; definitions.md, 5. All
 * frames are its own. It may be taken from a pass at hand, or read from where it was stored.
 *
 * @param sampleRateHz its sample rate in Hz
 * @param grid its windows
 * @param lineLevel {@code T}, the line that is held, linear, over 0; the same everywhere
 * @param averagePeak {@code A}, linear
 * @param moments its moments, by rank
 * @param stems its stems, in any order; empty: they are not known, and not compared
 * @param blockPeaks the peaks of the bus in the blocks of its summary; empty: not kept
 */
public record EarlierPass(
    int sampleRateHz,
    WindowGrid grid,
    double lineLevel,
    double averagePeak,
    List<EarlierMoment> moments,
    List<EarlierStem> stems,
    Optional<PeakTrack> blockPeaks) {

  public EarlierPass {
    Objects.requireNonNull(grid, "grid");
    Objects.requireNonNull(blockPeaks, "blockPeaks");
    moments = List.copyOf(moments);
    stems = List.copyOf(stems);
    if (sampleRateHz < 1) {
      throw new IllegalArgumentException("sampleRateHz must be >= 1: sampleRateHz=" + sampleRateHz);
    }
    if (!(lineLevel > 0)) {
      throw new IllegalArgumentException("lineLevel must be over 0: lineLevel=" + lineLevel);
    }
    for (EarlierStem stem : stems) {
      if (stem.windowPeaks().size() != grid.windows()) {
        throw new IllegalArgumentException(
            "windowPeaks must be as many as the windows: windowPeaks="
                + stem.windowPeaks().size()
                + ", windows="
                + grid.windows());
      }
    }
  }

  /**
   * What is kept of a pass without marks.
   *
   * @param pass a pass whose line is the same everywhere
   */
  public static EarlierPass of(Pass pass) {
    List<EarlierMoment> moments = new ArrayList<>();
    for (Moment moment : pass.moments()) {
      moments.add(earlier(moment, OptionalDouble.empty()));
    }
    List<EarlierStem> stems = new ArrayList<>();
    for (int k = 0; k < pass.session().stems().size(); k++) {
      stems.add(earlier(pass, k, List.of()));
    }
    return of(pass, moments, stems);
  }

  /**
   * What is kept of a pass with marks: what they tell, and where they act.
   *
   * @param pass a pass whose line is the same everywhere
   * @param whatIf a what-if of that pass
   */
  public static EarlierPass of(Pass pass, WhatIf whatIf) throws IOException {
    long gapFrames = OverFrames.gapFrames(pass.session().sampleRateHz());
    LargestLevel told =
        new LargestLevel(pass.summary(), whatIf::blockPeak, where -> peak(whatIf.levels(where)));
    List<EarlierMoment> moments = new ArrayList<>();
    for (Moment moment : pass.moments()) {
      double largest = told.in(moment.firstOver() - gapFrames, moment.lastOver() + 1 + gapFrames);
      moments.add(earlier(moment, OptionalDouble.of(largest)));
    }
    List<EarlierStem> stems = new ArrayList<>();
    for (int k = 0; k < pass.session().stems().size(); k++) {
      List<TimeRange> marked = new ArrayList<>();
      for (Mark.OfFix mark : whatIf.marks().fixes()) {
        int stem = k;
        if (mark.fix().onAll(pass.session().yokes()).stream().anyMatch(f -> f.stem() == stem)) {
          whatIf.affected(mark).ifPresent(marked::add);
        }
      }
      stems.add(earlier(pass, k, marked));
    }
    return of(pass, moments, stems);
  }

  private static EarlierPass of(Pass pass, List<EarlierMoment> moments, List<EarlierStem> stems) {
    if (!pass.line().isLevel()) {
      throw new IllegalArgumentException(
          "line must be the same everywhere: baseline=" + pass.settings().baseline());
    }
    Summary summary = pass.summary();
    double[] blockPeaks = new double[summary.blocks()];
    for (int i = 0; i < blockPeaks.length; i++) {
      blockPeaks[i] = summary.blockPeak(i);
    }
    return new EarlierPass(
        pass.session().sampleRateHz(),
        summary.grid(),
        pass.line().level(0),
        pass.line().averagePeak().overall(),
        moments,
        stems,
        Optional.of(PeakTrack.of(blockPeaks)));
  }

  private static EarlierMoment earlier(Moment moment, OptionalDouble told) {
    return new EarlierMoment(
        moment.peakFrame(), moment.firstOver(), moment.lastOver(), moment.peak(), told);
  }

  private static EarlierStem earlier(Pass pass, int k, List<TimeRange> marked) {
    return new EarlierStem(
        pass.session().stems().get(k).name(),
        pass.session().stems().get(k).channels(),
        PeakTrack.of(pass.summary().stemWindowPeaks(k)),
        marked);
  }

  private static double peak(double[] levels) {
    return Block.peak(levels, 0, levels.length);
  }
}
