package cairn.io.render;

import cairn.collisions.Session;
import cairn.collisions.fix.Fix;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemReader;
import cairn.io.files.SafeText;
import cairn.io.files.WholeFolder;
import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundFile;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.sound.SoundFile;
import cairn.io.sound.SoundFormat;
import cairn.io.sound.SoundReader;
import cairn.io.stems.StemFile;
import cairn.io.stems.StemFiles;
import cairn.io.stems.StemProbe;
import cairn.io.stems.StemSet;
import cairn.io.wave.WaveLayout;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.concurrent.CancellationException;
import java.util.stream.Stream;

/**
 * Writes stems with marks into a folder, whole or not at all: all is written beside the folder, in
 * a hidden one, and moved into place at the end. What goes wrong, or is cancelled, leaves nothing
 * behind.
 */
public final class StemRenderer {

  private static final int PIECE_BYTES = 4 << 20;
  private static final int PIECE_FRAMES = 16_384;

  private final StemSet set;
  private final StemFiles files;
  private final Session session;
  private final Progress progress;
  private long done;
  private long total;

  /**
   * @param set the stems
   * @param files their open files
   * @param session how they go into the bus
   */
  public StemRenderer(StemSet set, StemFiles files, Session session, Progress progress) {
    this.set = set;
    this.files = files;
    this.session = session;
    this.progress = progress;
  }

  /** One file to write. */
  private record Job(int stem, int side, Path source, Path target, boolean toWave) {}

  /**
   * Writes all stems.
   *
   * @param folder the folder; its parent must be there
   * @param force whether files of the same names may be replaced in it
   * @throws CancellationException if {@code progress} said so
   * @throws IOException if it cannot be done; nothing is changed, or, where files are replaced in
   *     their place one by one, each is the old or the new one
   */
  public RenderedStems write(Marks marks, Path folder, boolean force) throws IOException {
    List<List<Fix>> fixes = new ArrayList<>();
    set.stems().forEach(stem -> fixes.add(new ArrayList<>()));
    for (Mark.OfFix mark : marks.fixes()) {
      mark.fix().onAll(session.yokes()).forEach(fix -> fixes.get(fix.stem()).add(fix));
    }
    List<Job> jobs = jobs(fixes);
    total = bytes(jobs);
    WholeFolder.refuse(folder, force, total);
    check(folder, jobs);
    long[] beyond = new long[set.stems().size()];
    WholeFolder.write(
        folder,
        aside -> {
          try (StemReader reader = files.openReader()) {
            int stem = -1;
            List<FixedStretch> stretches = List.of();
            for (Job job : jobs) {
              if (job.stem() != stem) {
                stem = job.stem();
                stretches = FixedStretch.of(session, stem, fixes.get(stem), reader);
              }
              Path target = aside.resolve(job.target());
              Files.createDirectories(target.getParent());
              beyond[stem] += write(job, stretches, target);
            }
          }
          files.verifyUnchanged();
        });
    List<RenderedStems.Rendered> rendered = new ArrayList<>();
    for (int k = 0; k < fixes.size(); k++) {
      int stem = k;
      rendered.add(
          new RenderedStems.Rendered(
              jobs.stream()
                  .filter(job -> job.stem() == stem)
                  .map(job -> folder.resolve(job.target()))
                  .toList(),
              fixes.get(k).size(),
              beyond[k]));
    }
    return new RenderedStems(folder, rendered);
  }

  private List<Job> jobs(List<List<Fix>> fixes) {
    List<Job> jobs = new ArrayList<>();
    Set<String> used = new HashSet<>();
    for (StemFile stem : set.stems()) {
      stem.paths().forEach(path -> used.add(key(relative(path))));
    }
    for (int k = 0; k < set.stems().size(); k++) {
      StemFile stem = set.stems().get(k);
      boolean toWave =
          !fixes.get(k).isEmpty() && stem.format().container() == SoundFormat.Container.FLAC;
      for (int side = 0; side < stem.paths().size(); side++) {
        Path source = stem.paths().get(side);
        Path target = relative(source);
        if (toWave) {
          String name = target.getFileName().toString();
          int dot = name.lastIndexOf('.');
          Path wave = target.resolveSibling((dot > 0 ? name.substring(0, dot) : name) + ".wav");
          target = used.add(key(wave)) ? wave : target.resolveSibling(name + ".wav");
        }
        jobs.add(new Job(k, side, source, target, toWave));
      }
    }
    return jobs;
  }

  private static String key(Path path) {
    return path.toString().toLowerCase(Locale.ROOT);
  }

  /** Where a file lies in the folder of all stems. */
  private Path relative(Path path) {
    return path.startsWith(set.folder()) ? set.folder().relativize(path) : path.getFileName();
  }

  /** Refuses a folder whose files would be replaced or mixed with the stems in a wrong way. */
  private void check(Path folder, List<Job> jobs) throws IOException {
    if (!Files.isDirectory(folder)) {
      return;
    }
    String shown = "'" + SafeText.of(folder) + "'";
    Set<Path> targets = new HashSet<>();
    for (Job job : jobs) {
      Path target = folder.resolve(job.target());
      targets.add(target);
      for (Path input : set.inputs()) {
        if (Files.exists(target) && Files.isSameFile(target, input)) {
          throw new IOException(
              "'"
                  + SafeText.of(target)
                  + "' is one of the inputs, which are never changed; name another folder");
        }
      }
    }
    try (Stream<Path> all = Files.walk(folder)) {
      for (Path path : all.filter(p -> !p.equals(folder)).toList()) {
        if (Files.isRegularFile(path)
            && !targets.contains(path)
            && StemProbe.hasSoundEnding(path)) {
          throw new IOException(
              shown
                  + " also holds '"
                  + SafeText.of(folder.relativize(path))
                  + "', which would be taken for one of the stems; name another folder");
        }
      }
    }
  }

  private long bytes(List<Job> jobs) throws IOException {
    long bytes = 0;
    for (Job job : jobs) {
      bytes += job.toWave() ? waveLayout(job).fileBytes() : Files.size(job.source());
    }
    return bytes;
  }

  private WaveLayout waveLayout(Job job) {
    SoundFormat format = set.stems().get(job.stem()).format();
    int bytes = (format.bits() + 7) / 8;
    LinearCoding coding =
        bytes == 1 ? LinearCoding.UNSIGNED_8 : LinearCoding.pcm(bytes, ByteOrder.LITTLE_ENDIAN);
    return WaveLayout.plain(coding, format.sampleRateHz(), format.channels(), format.frames());
  }

  private void told(long bytes) {
    done = Math.min(total, done + bytes);
    if (total > 0 && !progress.told(Progress.Step.WRITE, done, total)) {
      throw new CancellationException("cancelled");
    }
  }

  /** Writes one file; how many samples lay beyond full scale. */
  private long write(Job job, List<FixedStretch> stretches, Path target) throws IOException {
    try (FileChannel out =
        FileChannel.open(target, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE)) {
      long beyond;
      if (job.toWave()) {
        beyond = writeWave(job, stretches, out);
      } else {
        copy(job.source(), out);
        beyond = stretches.isEmpty() ? 0 : patch(job, stretches, out);
      }
      out.force(true);
      return beyond;
    }
  }

  private void copy(Path source, FileChannel out) throws IOException {
    try (FileChannel in = FileChannel.open(source, StandardOpenOption.READ)) {
      long size = in.size();
      for (long at = 0; at < size; ) {
        long copied = in.transferTo(at, Math.min(PIECE_BYTES, size - at), out);
        if (copied <= 0) {
          throw new IOException(
              "'" + SafeText.of(source.getFileName()) + "' became shorter while it was read");
        }
        at += copied;
        told(copied);
      }
    }
  }

  /** Replaces the samples of the stretches in a copy of the file. */
  private long patch(Job job, List<FixedStretch> stretches, FileChannel out) throws IOException {
    try (SoundFile source = StemProbe.open(job.source())) {
      LinearSoundFile.Layout layout = ((LinearSoundFile) source).layout();
      long beyond = 0;
      for (FixedStretch stretch : stretches) {
        beyond += put(side(job, stretch.samples), stretch.firstFrame, layout, out);
      }
      return beyond;
    }
  }

  /** Writes samples in their place; how many lay beyond full scale. */
  static long put(
      double[][] samples, long firstFrame, LinearSoundFile.Layout layout, FileChannel out)
      throws IOException {
    int frameBytes = layout.frameBytes();
    byte[] raw = new byte[PIECE_FRAMES * frameBytes];
    long beyond = 0;
    for (int at = 0; at < samples[0].length; at += PIECE_FRAMES) {
      int count = Math.min(PIECE_FRAMES, samples[0].length - at);
      beyond += layout.coding().encode(samples, at, count, layout.format().channels(), raw);
      ByteBuffer bytes = ByteBuffer.wrap(raw, 0, count * frameBytes);
      long position = layout.firstByte() + (firstFrame + at) * frameBytes;
      while (bytes.hasRemaining()) {
        position += out.write(bytes, position);
      }
    }
    return beyond;
  }

  /** The channels of one file of the stem. */
  private double[][] side(Job job, double[][] samples) {
    return set.stems().get(job.stem()).isPair() ? new double[][] {samples[job.side()]} : samples;
  }

  /** Writes all frames anew, since those of a FLAC file cannot be replaced in their place. */
  private long writeWave(Job job, List<FixedStretch> stretches, FileChannel out)
      throws IOException {
    WaveLayout layout = waveLayout(job);
    int frameBytes = layout.channels() * layout.coding().bytes();
    double[][] block = new double[layout.channels()][PIECE_FRAMES];
    OutputStream stream = Channels.newOutputStream(out);
    // Not closed: that would close the channel before it is forced.
    LinearSoundWriter writer = layout.writeTo(stream);
    try (SoundFile source = StemProbe.open(job.source());
        SoundReader reader = source.openReader()) {
      for (long at = 0; at < layout.frames(); at += PIECE_FRAMES) {
        int count = (int) Math.min(PIECE_FRAMES, layout.frames() - at);
        reader.read(at, count, block, 0);
        for (FixedStretch stretch : stretches) {
          double[][] samples = side(job, stretch.samples);
          long from = Math.max(at, stretch.firstFrame);
          long end = Math.min(at + count, stretch.endFrame());
          for (int c = 0; from < end && c < block.length; c++) {
            System.arraycopy(
                samples[c],
                (int) (from - stretch.firstFrame),
                block[c],
                (int) (from - at),
                (int) (end - from));
          }
        }
        writer.write(block, 0, count);
        told((long) count * frameBytes);
      }
    }
    return writer.beyondFullScale();
  }
}
