package cairn.io.snippets;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.TimeRange;
import cairn.collisions.cue.Cue;
import cairn.collisions.cue.CueList;
import cairn.collisions.plan.WhatIf;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.MixDown;
import cairn.collisions.time.ClockTime;
import cairn.io.files.WholeFolder;
import cairn.io.listing.Csv;
import cairn.io.listing.Figures;
import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.wave.WaveLayout;
import java.io.IOException;
import java.io.OutputStream;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.CancellationException;
import java.util.stream.Collectors;

/** Writes a folder of snippets: 24-bit WAVE in stereo, ramps of 5 ms at both ends. */
public final class SnippetFolder {

  private static final int RAMPS_A_SECOND = 200;

  private final Pass pass;
  private final WhatIf told;
  private final StemSource source;
  private final Progress progress;

  /**
   * @param pass the pass that the marks were made on
   * @param told its bus with the marks
   * @param source its stems
   */
  public SnippetFolder(Pass pass, WhatIf told, StemSource source, Progress progress) {
    this.pass = pass;
    this.told = told;
    this.source = source;
    this.progress = progress;
  }

  /**
   * What was written.
   *
   * @param moments number of moments, each with two files
   * @param gainDb the gain of all snippets in dB, at most 0
   */
  public record Written(int moments, double gainDb) {}

  /** One moment: its cues, its stretch, and what the stretch holds. */
  private record Snippet(int number, List<Cue> cues, TimeRange range) {
    String file(String which, int sampleRateHz) {
      String time = ClockTime.of(cues.get(0).frame(), sampleRateHz).replace(':', '-');
      return String.format(Locale.ROOT, "%03d %s %s.wav", number, time, which);
    }
  }

  /**
   * Writes the folder.
   *
   * @param list a cue a mark; cues of one moment share its snippets
   * @param around seconds on either side of a moment's peak, over 0
   * @param levelLufs loudness that nothing may be above, in LUFS
   * @param folder the folder; its parent must be there
   * @param force whether files of the same names may be replaced in it
   * @throws CancellationException if {@code progress} said so; nothing is left behind
   * @throws IOException if it cannot be done; nothing is left behind
   */
  public Written write(CueList list, double around, double levelLufs, Path folder, boolean force)
      throws IOException {
    int rate = pass.session().sampleRateHz();
    List<Snippet> snippets = snippets(list, Math.max(1, Math.round(around * rate)));
    long total = 0;
    int longest = 0;
    for (Snippet snippet : snippets) {
      total += 2 * layout(snippet).fileBytes();
      longest = Math.max(longest, Math.toIntExact(snippet.range().frames()));
    }
    WholeFolder.refuse(folder, force, total);
    double[][] before = Block.stereo(longest);
    double[][] after = Block.stereo(longest);
    try (MixDown mixDown = new MixDown(pass.session(), source.openReader())) {
      SafeGain gain = new SafeGain(rate, levelLufs);
      for (Snippet snippet : snippets) {
        int frames = sum(mixDown, snippet, before, after);
        gain.add(before, frames);
        gain.add(after, frames);
        told(0, total);
      }
      long all = total;
      WholeFolder.write(
          folder,
          aside -> {
            List<List<Object>> rows = new ArrayList<>();
            long done = 0;
            for (Snippet snippet : snippets) {
              int frames = sum(mixDown, snippet, before, after);
              rows.add(row(snippet, before, after, frames, gain.gainDb()));
              write(aside, snippet, "before", before, gain.gainDb());
              write(aside, snippet, "after", after, gain.gainDb());
              done += 2 * layout(snippet).fileBytes();
              told(done, all);
            }
            index(aside.resolve("index.csv"), rows);
          });
      return new Written(snippets.size(), gain.gainDb());
    }
  }

  private void told(long done, long total) {
    if (total > 0 && !progress.told(Progress.Step.WRITE, done, total)) {
      throw new CancellationException("cancelled");
    }
  }

  private List<Snippet> snippets(CueList list, long around) {
    Map<Long, List<Cue>> byMoment = new TreeMap<>();
    for (Cue cue : list.cues()) {
      byMoment.computeIfAbsent(cue.frame(), frame -> new ArrayList<>()).add(cue);
    }
    TimeRange range = pass.range();
    List<Snippet> snippets = new ArrayList<>();
    for (Map.Entry<Long, List<Cue>> each : byMoment.entrySet()) {
      long peak = each.getKey();
      long from = Math.max(range.firstFrame(), peak - around);
      long end = Math.min(range.endFrame(), peak + around + 1);
      if (from < end) {
        snippets.add(new Snippet(snippets.size() + 1, each.getValue(), new TimeRange(from, end)));
      }
    }
    return snippets;
  }

  /** Writes the bus without and with the marks; how many frames. */
  private int sum(MixDown mixDown, Snippet snippet, double[][] before, double[][] after)
      throws IOException {
    int frames = Math.toIntExact(snippet.range().frames());
    long first = snippet.range().firstFrame();
    mixDown.sum(first, frames, before);
    Block.clear(after, 0, frames);
    double[][] stem = Block.stereo(frames);
    for (int k = 0; k < pass.session().stems().size(); k++) {
      told.stemOnBus(k, first, frames, stem);
      Block.add(after[0], stem[0], 1, 0, frames);
      Block.add(after[1], stem[1], 1, 0, frames);
    }
    return frames;
  }

  private WaveLayout layout(Snippet snippet) {
    return WaveLayout.plain(
        LinearCoding.PCM_24_LITTLE, pass.session().sampleRateHz(), 2, snippet.range().frames());
  }

  private void write(Path folder, Snippet snippet, String which, double[][] bus, double gainDb)
      throws IOException {
    int rate = pass.session().sampleRateHz();
    int frames = Math.toIntExact(snippet.range().frames());
    int ramp = Math.max(1, Math.min(frames / 2, rate / RAMPS_A_SECOND));
    double gain = Decibels.toFactor(gainDb);
    double[][] block = Block.stereo(frames);
    for (int c = 0; c < 2; c++) {
      for (int i = 0; i < frames; i++) {
        double u = Math.min(1, (Math.min(i, frames - 1 - i) + 0.5) / ramp);
        block[c][i] = gain * bus[c][i] * (0.5 - 0.5 * Math.cos(Math.PI * u));
      }
    }
    try (OutputStream out = Files.newOutputStream(folder.resolve(snippet.file(which, rate)));
        LinearSoundWriter writer = layout(snippet).writeTo(out)) {
      writer.write(block, 0, frames);
    }
  }

  private List<Object> row(
      Snippet snippet, double[][] before, double[][] after, int frames, double gainDb) {
    int rate = pass.session().sampleRateHz();
    Cue first = snippet.cues().get(0);
    List<Object> row = new ArrayList<>();
    row.add(snippet.number());
    row.add(first.frame());
    row.add(Figures.fixed((double) first.frame() / rate, 6));
    row.add(first.time());
    row.add(first.rank().isPresent() ? first.rank().getAsInt() : "");
    row.add(Csv.guarded(snippet.cues().stream().map(Cue::text).collect(Collectors.joining("; "))));
    row.add(snippet.file("before", rate));
    row.add(snippet.file("after", rate));
    row.add(snippet.range().firstFrame());
    row.add(snippet.range().endFrame());
    row.add(peakDb(before, frames));
    row.add(peakDb(after, frames));
    row.add(Figures.fixed(gainDb, 2));
    return row;
  }

  private static String peakDb(double[][] bus, int frames) {
    double peak = Math.max(Block.peak(bus[0], 0, frames), Block.peak(bus[1], 0, frames));
    return peak > 0 ? Figures.fixed(Decibels.ofAmplitude(peak), 4) : "";
  }

  private static void index(Path file, List<List<Object>> rows) throws IOException {
    try (Writer out = Files.newBufferedWriter(file, StandardCharsets.UTF_8)) {
      Csv.writeRow(
          out,
          List.of(
              "number",
              "moment",
              "seconds",
              "time",
              "rank",
              "text",
              "before",
              "after",
              "from",
              "to",
              "peakBeforeDb",
              "peakAfterDb",
              "gainDb"));
      for (List<Object> row : rows) {
        Csv.writeRow(out, row);
      }
    }
  }
}
