package cairn.io.stems;

import cairn.collisions.port.StemSource;
import cairn.io.files.SafeText;
import cairn.io.sound.BroadcastInfo;
import cairn.io.sound.SoundFile;
import cairn.io.sound.UnusableStem;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/**
 * Reads a folder of stems, or the stems themselves, or several of both, into a {@link StemSet}.
 * Each file is opened once to read its headers and closed again; {@link StemFiles} opens them for
 * their samples, as a {@link StemSource}.
 */
public final class StemFolder {

  /** Placed stems that lie further apart are no song: time references count from midnight. */
  private static final int SECONDS_A_DAY = 86_400;

  private StemFolder() {}

  /**
   * Reads what was named.
   *
   * <p>A file that was named, or whose name ends like a sound file's, must be a stem; another one
   * in a folder that is none is skipped. All that cannot be used is found before anything is
   * refused: the first such file in session order is thrown, the others are its suppressed ones.
   *
   * @param inputs folders and files, at least one
   * @param options how to read them
   * @throws UnusableStem if a file cannot be used
   * @throws UnusableFolder if what was named cannot be used as a whole
   * @throws IOException if it cannot be read; the message names it
   */
  public static StemSet scan(List<Path> inputs, ScanOptions options) throws IOException {
    return scan(inputs, options, StemProbe::open);
  }

  static StemSet scan(List<Path> inputs, ScanOptions options, StemFiles.Opener opener)
      throws IOException {
    if (inputs.isEmpty()) {
      throw new IllegalArgumentException("inputs must not be empty");
    }
    Looked looked = look(inputs, options, opener);
    if (!looked.refused.isEmpty()) {
      IOException refused = looked.refused.get(0);
      looked.refused.stream().skip(1).forEach(refused::addSuppressed);
      throw refused;
    }
    List<StemFile> stems = looked.stems;
    if (stems.isEmpty()) {
      throw new UnusableFolder.NoStems(looked.folder, looked.skipped.size());
    }
    int sampleRateHz = commonRateHz(stems);
    List<Note> notes = new ArrayList<>(looked.notes);
    stems = new Placement(sampleRateHz, notes).place(stems, options.place());
    return new StemSet(looked.folder, sampleRateHz, stems, looked.skipped, notes);
  }

  /**
   * Reads what was named, and refuses nothing that can be told instead.
   *
   * @param inputs folders and files, at least one
   * @throws UnusableFolder if there is not one stem, or what was named cannot be read
   */
  public static Survey survey(List<Path> inputs, ScanOptions options) throws IOException {
    Looked looked = look(inputs, options, StemProbe::open);
    if (looked.stems.isEmpty() && looked.refused.isEmpty()) {
      throw new UnusableFolder.NoStems(looked.folder, looked.skipped.size());
    }
    int mostHz = Survey.mostCommonRateHz(looked.stems);
    List<StemFile> usable =
        looked.stems.stream().filter(s -> s.format().sampleRateHz() == mostHz).toList();
    List<Note> notes = new ArrayList<>(looked.notes);
    if (!usable.isEmpty()) {
      try {
        usable = new Placement(mostHz, notes).place(usable, options.place());
      } catch (UnusableFolder.FarApart e) {
        looked.refused.add(e);
      }
    }
    return new Survey(looked.folder, looked.stems, usable, looked.refused, looked.skipped, notes);
  }

  /** What was found in a folder. */
  private record Looked(
      Path folder,
      List<StemFile> stems,
      List<IOException> refused,
      List<Skipped> skipped,
      List<Note> notes) {}

  private static Looked look(List<Path> inputs, ScanOptions options, StemFiles.Opener opener)
      throws IOException {
    FolderWalk.Result walked = FolderWalk.walk(inputs);
    List<Skipped> skipped = new ArrayList<>(walked.skipped());
    List<Note> notes = new ArrayList<>();
    List<IOException> refused = new ArrayList<>();
    List<Probed> files = probe(walked.files(), opener, skipped, notes, refused);
    skipped.sort((a, b) -> FolderWalk.compareCodePoints(a.shown(), b.shown()));
    List<Pairing.Sides> sides =
        options.pairs()
            ? new Pairing(notes).pair(files)
            : files.stream().map(f -> new Pairing.Sides(f, Optional.empty())).toList();
    return new Looked(walked.folder(), stems(sides), refused, skipped, notes);
  }

  private static List<Probed> probe(
      List<FolderWalk.Found> candidates,
      StemFiles.Opener opener,
      List<Skipped> skipped,
      List<Note> notes,
      List<IOException> refused) {
    List<Probed> files = new ArrayList<>();
    for (FolderWalk.Found found : candidates) {
      try (SoundFile file = opener.open(found.path())) {
        Probed probed = new Probed(found, file.format(), file.broadcast());
        files.add(probed);
        for (String mended : file.mended()) {
          notes.add(new Note(Note.Kind.MENDED, "'" + probed.shown() + "': " + mended));
        }
      } catch (IOException e) {
        if (!found.named() && !StemProbe.hasSoundEnding(found.path())) {
          skipped.add(
              new Skipped(
                  found.path(),
                  SafeText.of(found.relative()),
                  StemProbe.reasonToSkip(found.path())));
        } else {
          refused.add(Reasons.named(found.path(), e));
        }
      }
    }
    return files;
  }

  private static List<StemFile> stems(List<Pairing.Sides> sides) {
    List<List<String>> choices = new ArrayList<>();
    for (Pairing.Sides each : sides) {
      Probed left = each.left();
      choices.add(
          List.of(
              each.right().isPresent()
                  ? Pairing.nameOf(left)
                  : SafeText.of(left.nameWithoutEnding()),
              left.shownWithoutEnding(),
              left.shown()));
    }
    List<String> names = StemNames.unique(choices);
    List<StemFile> stems = new ArrayList<>();
    for (int k = 0; k < sides.size(); k++) {
      stems.add(stem(names.get(k), sides.get(k)));
    }
    return stems;
  }

  private static StemFile stem(String name, Pairing.Sides sides) {
    Probed left = sides.left();
    List<Path> paths = new ArrayList<>(List.of(left.found().path()));
    Optional<BroadcastInfo> broadcast = left.broadcast();
    if (sides.right().isPresent()) {
      Probed right = sides.right().get();
      paths.add(right.found().path());
      broadcast = broadcast.or(right::broadcast);
    }
    return new StemFile(
        name,
        left.group(),
        left.shown(),
        paths,
        left.format(),
        paths.size() == 2 ? 2 : left.format().channels(),
        left.format().frames(),
        broadcast,
        0);
  }

  private static int commonRateHz(List<StemFile> stems) throws UnusableFolder.RatesDiffer {
    int firstHz = stems.get(0).format().sampleRateHz();
    if (stems.stream().anyMatch(s -> s.format().sampleRateHz() != firstHz)) {
      throw new UnusableFolder.RatesDiffer(
          stems.stream()
              .map(
                  s ->
                      new UnusableFolder.RatesDiffer.Rate(
                          s.relativePath(), s.format().sampleRateHz()))
              .toList());
    }
    return firstHz;
  }

  /**
   * Puts stems at their time references, {@code o_k = timeRef_k − min}, or says that they differ.
   */
  private record Placement(int sampleRateHz, List<Note> notes) {

    List<StemFile> place(List<StemFile> stems, ScanOptions.Place place)
        throws UnusableFolder.FarApart {
      StemFile earliest = null;
      for (StemFile stem : stems) {
        if (stem.broadcast().isPresent()
            && (earliest == null || timeReference(stem) < timeReference(earliest))) {
          earliest = stem;
        }
      }
      if (earliest == null) {
        if (place == ScanOptions.Place.TIMEREF) {
          notes.add(
              new Note(
                  Note.Kind.NO_TIME_REFERENCE,
                  "no stem has a time reference; all start together at 0"));
        }
        return stems;
      }
      return place == ScanOptions.Place.START
          ? leftAtStart(stems, earliest)
          : placed(stems, earliest);
    }

    private List<StemFile> leftAtStart(List<StemFile> stems, StemFile earliest) {
      List<String> late = late(stems, earliest);
      if (!late.isEmpty()) {
        notes.add(
            new Note(
                Note.Kind.TIME_REFERENCES_DIFFER,
                "time references differ: "
                    + String.join(", ", late)
                    + " after '"
                    + earliest.name()
                    + "'; all start together here; use --place timeref to put the stems there"));
      }
      return stems;
    }

    private List<StemFile> placed(List<StemFile> stems, StemFile earliest)
        throws UnusableFolder.FarApart {
      List<StemFile> placed = new ArrayList<>();
      List<String> without = new ArrayList<>();
      for (StemFile stem : stems) {
        if (stem.broadcast().isEmpty()) {
          without.add(stem.name());
          placed.add(stem);
          continue;
        }
        long offset = timeReference(stem) - timeReference(earliest);
        double seconds = (double) offset / sampleRateHz;
        if (seconds > SECONDS_A_DAY) {
          throw new UnusableFolder.FarApart(stem.name(), earliest.name(), seconds / 3600);
        }
        placed.add(stem.withOffset(offset));
      }
      List<String> late = late(stems, earliest);
      if (!late.isEmpty()) {
        notes.add(
            new Note(
                Note.Kind.PLACED,
                "put at their time references: "
                    + String.join(", ", late)
                    + " after '"
                    + earliest.name()
                    + "'"));
      }
      if (!without.isEmpty()) {
        notes.add(
            new Note(
                Note.Kind.NO_TIME_REFERENCE,
                "without a time reference, left at 0: " + Notes.listed(without)));
      }
      return placed;
    }

    private List<String> late(List<StemFile> stems, StemFile earliest) {
      List<String> late = new ArrayList<>();
      for (StemFile stem : stems) {
        if (stem.broadcast().isPresent() && timeReference(stem) > timeReference(earliest)) {
          long frames = timeReference(stem) - timeReference(earliest);
          late.add(
              String.format(
                  Locale.ROOT,
                  "'%s' %d samples (%.3f s)",
                  stem.name(),
                  frames,
                  (double) frames / sampleRateHz));
        }
      }
      return late;
    }

    private static long timeReference(StemFile stem) {
      return stem.broadcast().orElseThrow().timeReference();
    }
  }
}
