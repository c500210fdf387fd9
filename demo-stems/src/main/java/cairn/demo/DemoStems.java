package cairn.demo;

import cairn.io.aiff.AiffLayout;
import cairn.io.files.SafeText;
import cairn.io.files.WholeFile;
import cairn.io.flac.FlacWriter;
import cairn.io.sound.LinearCoding;
import cairn.io.wave.WaveLayout;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;

/**
 * Writes the demo song: 16 stems, 48 kHz, 24 bits, in a folder for each group, and beside them the
 * list of what is planted, {@value #TRUTH}.
 */
public final class DemoStems {

  /** The list of planted moments: RFC 4180, UTF-8, header row, one moment a row, by time. */
  public static final String TRUTH = "planted-collisions.csv";

  /** What cairn itself leaves in a folder of stems; it does not stand in the way, and stays. */
  private static final String SESSION = "cairn-session.json";

  private static final int BITS = 24;

  private DemoStems() {}

  /** The folder cannot take the demo as it is; one line: which, why, what to do. */
  public static final class Refused extends IOException {
    private static final long serialVersionUID = 1L;

    private Refused(Path folder, String what) {
      super("'" + SafeText.of(folder) + "' " + what);
    }
  }

  /**
   * Writes the song of a seed.
   *
   * @param folder the folder; made if it is not there, with the folders that it lies in
   * @param force whether the files of an earlier demo may be replaced
   * @return the song as written
   * @throws Refused if the folder is a file, holds anything but an earlier demo, or holds one and
   *     {@code force} is not set; nothing is written then
   * @throws IOException if it cannot be written
   */
  public static DemoSong write(Path folder, long seed, boolean force) throws IOException {
    check(folder, force);
    DemoSong song = DemoSong.compose(seed);
    for (DemoStem stem : song.stems()) {
      Path file = folder.resolve(stem.path());
      Files.createDirectories(file.getParent());
      write(stem, song.frames(), file, force);
    }
    byte[] truth = truth(song).getBytes(StandardCharsets.UTF_8);
    WholeFile.write(folder.resolve(TRUTH), force, List.of(), out -> out.write(truth));
    return song;
  }

  /** Refuses a folder in which something else than an earlier demo would be touched or joined. */
  private static void check(Path folder, boolean force) throws IOException {
    if (!Files.exists(folder, LinkOption.NOFOLLOW_LINKS)) {
      return;
    }
    if (!Files.isDirectory(folder)) {
      throw new Refused(folder, "is no folder; name a new or an empty one");
    }
    Set<Path> ours = new HashSet<>();
    ours.add(Path.of(TRUTH));
    for (Voice voice : Voice.values()) {
      ours.add(Path.of(voice.path()));
      ours.add(Path.of(voice.group));
    }
    Path real = folder.toRealPath();
    boolean[] earlier = new boolean[1];
    Files.walkFileTree(
        real,
        new SimpleFileVisitor<>() {
          @Override
          public FileVisitResult preVisitDirectory(Path path, BasicFileAttributes attributes)
              throws IOException {
            if (!path.equals(real)) {
              heed(
                  path, attributes.isDirectory() && path.getNameCount() == real.getNameCount() + 1);
            }
            return FileVisitResult.CONTINUE;
          }

          @Override
          public FileVisitResult visitFile(Path path, BasicFileAttributes attributes)
              throws IOException {
            if (!real.relativize(path).equals(Path.of(SESSION))) {
              heed(path, attributes.isRegularFile());
              earlier[0] = true;
            }
            return FileVisitResult.CONTINUE;
          }

          private void heed(Path path, boolean plain) throws Refused {
            Path relative = real.relativize(path);
            if (!plain || !ours.contains(relative)) {
              throw new Refused(
                  folder,
                  "holds '"
                      + SafeText.of(relative)
                      + "', which is not of a demo; name a new or an empty folder");
            }
          }
        });
    if (earlier[0] && !force) {
      throw new Refused(folder, "holds a demo already; name another, or replace it with --force");
    }
  }

  private static void write(DemoStem stem, int frames, Path file, boolean force)
      throws IOException {
    double[][] samples = stem.render();
    int rate = DemoSong.SAMPLE_RATE_HZ;
    // the stream is closed by whoever opened it, hence no writer is closed here
    switch (stem.container()) {
      case FLAC -> writeFlac(samples, frames, file, force);
      case AIFF -> {
        AiffLayout layout = new AiffLayout(LinearCoding.PCM_24_BIG, rate, samples.length, frames);
        WholeFile.write(
            file, force, List.of(), out -> layout.writeTo(out).write(samples, 0, frames));
      }
      default -> {
        WaveLayout layout =
            WaveLayout.plain(LinearCoding.PCM_24_LITTLE, rate, samples.length, frames);
        WholeFile.write(
            file, force, List.of(), out -> layout.writeTo(out).write(samples, 0, frames));
      }
    }
  }

  /** FLAC goes back to fill in its header, so it is written aside by its own writer. */
  private static void writeFlac(double[][] samples, int frames, Path file, boolean force)
      throws IOException {
    Path aside = file.resolveSibling("." + file.getFileName() + ".tmp");
    Files.deleteIfExists(aside);
    try {
      try (FlacWriter writer =
          FlacWriter.create(aside, DemoSong.SAMPLE_RATE_HZ, samples.length, BITS)) {
        writer.write(samples, 0, frames);
      }
      if (force) {
        Files.move(
            aside, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
      } else {
        Files.move(aside, file);
      }
    } finally {
      Files.deleteIfExists(aside);
    }
  }

  /** The planted moments as CSV; bars and beats count from 1, as with a tempo of 104 and 4/4. */
  private static String truth(DemoSong song) {
    StringBuilder out = new StringBuilder();
    out.append("frame,seconds,bar,beat,part,stems,levelDb,excessDb,channel,long,figure,text\r\n");
    for (PlantedMoment moment : song.planted()) {
      double seconds = (double) moment.frame() / DemoSong.SAMPLE_RATE_HZ;
      double beats = (seconds - DemoSong.BAR_ONE_SECONDS) * DemoSong.TEMPO / 60;
      int bar = (int) Math.floor(beats / DemoSong.BEATS_PER_BAR);
      out.append(
          String.format(
              Locale.ROOT,
              "%d,%.6f,%d,%.3f,%s,%s,%.4f,%.4f,%d,%b,%s,%s\r\n",
              moment.frame(),
              seconds,
              bar + 1,
              beats - bar * DemoSong.BEATS_PER_BAR + 1,
              quoted(moment.part()),
              quoted(String.join("; ", moment.stems())),
              moment.levelDb(),
              moment.excessDb(),
              moment.channel(),
              moment.isLong(),
              quoted(moment.figure()),
              quoted(moment.text())));
    }
    return out.toString();
  }

  /** RFC 4180, 2.5 to 2.7. */
  private static String quoted(String field) {
    return '"' + field.replace("\"", "\"\"") + '"';
  }
}
