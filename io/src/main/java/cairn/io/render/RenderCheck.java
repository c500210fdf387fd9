package cairn.io.render;

import cairn.collisions.Analysis;
import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.Stem;
import cairn.collisions.line.FirstPass;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Summary;
import cairn.collisions.loudness.Metering;
import cairn.collisions.moment.MomentFinder;
import cairn.collisions.moment.OverFrames;
import cairn.collisions.moment.OverRun;
import cairn.collisions.plan.WhatIf;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import cairn.collisions.signal.Oversampler;
import cairn.io.sound.SoundFormat;
import cairn.io.stems.ScanOptions;
import cairn.io.stems.StemFile;
import cairn.io.stems.StemFiles;
import cairn.io.stems.StemFolder;
import cairn.io.stems.StemSet;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * A second analysis, of the stems that were written, against what the what-if said of them, at the
 * held line. The only difference that is passed over is that which rounding the samples can make.
 *
 * @param toldPeak highest level of the bus that was told, linear
 * @param gotPeak the one that was found
 * @param toldRuns what was to be over the line, in time order
 * @param gotRuns what is over it
 * @param tolerance the most by which rounding can change a level of the bus, linear
 * @param differences where the two differ by more, in time order
 */
public record RenderCheck(
    double toldPeak,
    double gotPeak,
    List<OverRun> toldRuns,
    List<OverRun> gotRuns,
    double tolerance,
    List<Difference> differences) {

  public RenderCheck {
    toldRuns = List.copyOf(toldRuns);
    gotRuns = List.copyOf(gotRuns);
    differences = List.copyOf(differences);
  }

  /**
   * A place where told and got differ.
   *
   * @param frame peak frame
   * @param told the level that was told; 0: nothing over the line
   * @param got the level that was found; 0: nothing over the line
   */
  public record Difference(long frame, double told, double got) {}

  /** Whether the second analysis shows what was told. */
  public boolean holds() {
    return differences.isEmpty() && Math.abs(gotPeak - toldPeak) <= tolerance;
  }

  /**
   * Analyses what was written.
   *
   * @param pass the pass that the marks were made on
   * @param told the bus of that pass with the marks
   * @param source the stems of that pass
   */
  public static RenderCheck of(
      Pass pass, WhatIf told, StemSet source, RenderedStems rendered, Crew crew, Progress progress)
      throws IOException {
    ScanOptions options =
        new ScanOptions(
            source.stems().stream().anyMatch(StemFile::isPair), ScanOptions.Place.START);
    StemSet set = StemFolder.scan(rendered.files(), options);
    Session session = session(pass.session(), rendered, set);
    try (StemFiles files = set.open()) {
      Summary summary =
          FirstPass.run(
                  session,
                  files,
                  pass.summary().grid(),
                  Analysis.READ_FRAMES,
                  pass.line().mode(),
                  Metering.NONE,
                  crew,
                  progress)
              .summary();
      HeldLine line = pass.line();
      List<OverRun> got = new MomentFinder(session, files, summary, crew, progress).runs(line);
      double tolerance = tolerance(pass, source, rendered);
      return new RenderCheck(
          told.peak(),
          summary.peak(),
          told.runs(),
          got,
          tolerance,
          differences(
              told.runs(), got, line, tolerance, OverFrames.gapFrames(session.sampleRateHz())));
    }
  }

  /** The stems as they were written, each with the fader that it had. */
  private static Session session(Session before, RenderedStems rendered, StemSet set)
      throws IOException {
    Map<Path, Integer> stemOf = new HashMap<>();
    for (int k = 0; k < rendered.stems().size(); k++) {
      for (Path file : rendered.stems().get(k).files()) {
        stemOf.put(file.toRealPath(), k);
      }
    }
    List<Stem> stems = new ArrayList<>();
    List<Fader> faders = new ArrayList<>();
    for (StemFile stem : set.stems()) {
      Integer k = stemOf.get(stem.paths().get(0).toRealPath());
      stems.add(stem.toStem());
      faders.add(k == null ? Fader.UNITY : before.faders().get(k));
    }
    return new Session(before.sampleRateHz(), before.monoGainDb(), stems, faders);
  }

  /**
   * Half a step of each stem with fixes, as it stands on the bus, and what double numbers lose; the
   * filter of true peaks raises it by its gain at most.
   */
  private static double tolerance(Pass pass, StemSet source, RenderedStems rendered) {
    double tolerance = 1e-12;
    for (int k = 0; k < rendered.stems().size(); k++) {
      if (rendered.stems().get(k).fixes() > 0) {
        SoundFormat format = source.stems().get(k).format();
        boolean whole = format.kind() == SoundFormat.Kind.INTEGER;
        int containerBits = (format.bits() + 7) / 8 * 8;
        tolerance +=
            whole
                ? Math.abs(pass.session().factor(k)) * Math.scalb(1.0, -containerBits)
                : pass.summary().stemPeak(k) * Math.scalb(1.0, format.bits() == 32 ? -24 : -52);
      }
    }
    return pass.line().mode() == PeakMode.TRUE_PEAK ? Oversampler.GAIN * tolerance : tolerance;
  }

  private static List<Difference> differences(
      List<OverRun> told, List<OverRun> got, HeldLine line, double tolerance, long gap) {
    List<Difference> differences = new ArrayList<>();
    boolean[] found = new boolean[got.size()];
    for (OverRun run : told) {
      double level = 0;
      for (int i = 0; i < found.length; i++) {
        OverRun other = got.get(i);
        if (other.firstOver() <= run.lastOver() + gap
            && run.firstOver() - gap <= other.lastOver()) {
          found[i] = true;
          level = Math.max(level, other.peak());
        }
      }
      boolean same =
          level > 0
              ? Math.abs(level - run.peak()) <= tolerance
              : run.peak() <= line.levelAt(run.peakFrame()) + tolerance;
      if (!same) {
        differences.add(new Difference(run.peakFrame(), run.peak(), level));
      }
    }
    for (int i = 0; i < found.length; i++) {
      OverRun run = got.get(i);
      if (!found[i] && run.peak() > line.levelAt(run.peakFrame()) + tolerance) {
        differences.add(new Difference(run.peakFrame(), 0, run.peak()));
      }
    }
    differences.sort((a, b) -> Long.compare(a.frame(), b.frame()));
    return differences;
  }
}
