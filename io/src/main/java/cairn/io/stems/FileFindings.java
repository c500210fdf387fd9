package cairn.io.stems;

import cairn.collisions.check.Finding;
import cairn.collisions.check.Finding.Kind;
import cairn.collisions.check.Weight;
import cairn.io.sound.BroadcastInfo;
import cairn.io.sound.SoundFormat;
import java.io.IOException;
import java.text.Normalizer;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.function.Function;

/**
 * Says what the files and their headers tell, without a look at the samples. What stems of one song
 * should have in common (one start, one length, one rate and bit depth) is common practice of stem
 * delivery, no source.
 */
public final class FileFindings {

  private FileFindings() {}

  /** All findings, in no order. */
  public static List<Finding> of(Survey survey) {
    List<Finding> findings = new ArrayList<>();
    survey.refused().forEach(e -> findings.add(unreadable(e)));
    rates(survey, findings);
    lengths(survey.usable(), findings);
    timeReferences(survey.usable(), findings);
    bitDepths(survey.stems(), findings);
    names(survey.stems(), findings);
    for (Note note : survey.notes()) {
      if (note.kind() == Note.Kind.MENDED || note.kind() == Note.Kind.NOT_PAIRED) {
        findings.add(
            new Finding(
                note.kind() == Note.Kind.MENDED ? Kind.MENDED : Kind.NOT_PAIRED,
                note.text(),
                "",
                note.kind() == Note.Kind.MENDED ? Weight.MATTERS : Weight.MINOR,
                note.kind() == Note.Kind.MENDED
                    ? "export it again: what was not written is missing in the sum"
                    : "export both alike, or keep them as two"));
      }
    }
    for (Skipped file : survey.skipped()) {
      findings.add(
          new Finding(
              Kind.SKIPPED,
              "'" + file.shown() + "' is not summed: " + file.reason(),
              "",
              Weight.MINOR,
              "leave it there, or export it as WAVE, AIFF or FLAC if it is a stem"));
    }
    return findings;
  }

  /** A file, or its samples, that cannot be read. */
  public static Finding unreadable(IOException e) {
    String message = String.valueOf(e.getMessage());
    int at = message.lastIndexOf("; ");
    return new Finding(
        Kind.UNREADABLE,
        at < 0 ? message : message.substring(0, at),
        "",
        Weight.STOPS,
        at < 0 ? "export it again or leave it out" : message.substring(at + 2));
  }

  private static void rates(Survey survey, List<Finding> findings) {
    int mostHz = Survey.mostCommonRateHz(survey.stems());
    long most = survey.usable().size();
    for (StemFile stem : survey.stems()) {
      int rate = stem.format().sampleRateHz();
      if (rate != mostHz) {
        findings.add(
            new Finding(
                Kind.RATE,
                String.format(
                    Locale.ROOT,
                    "'%s' has %d Hz, %s %d Hz",
                    stem.name(),
                    rate,
                    most == 1 ? "another stem" : "the other " + most,
                    mostHz),
                stem.relativePath(),
                Weight.STOPS,
                "export it again at " + mostHz + " Hz; it was left out here"));
      }
    }
  }

  /**
   * Where more than half are equally long, the others may start elsewhere, too; where all differ,
   * each was cut at its own end.
   */
  private static void lengths(List<StemFile> stems, List<Finding> findings) {
    Map<Long, List<StemFile>> byFrames = grouped(stems, StemFile::frames);
    if (byFrames.size() < 2) {
      return;
    }
    Map.Entry<Long, List<StemFile>> most = largest(byFrames);
    if (2 * most.getValue().size() <= stems.size()) {
      long shortest = stems.stream().mapToLong(StemFile::frames).min().orElseThrow();
      long longest = stems.stream().mapToLong(StemFile::frames).max().orElseThrow();
      findings.add(
          new Finding(
              Kind.LENGTH,
              String.format(
                  Locale.ROOT,
                  "stems have %d different lengths, from %s to %s",
                  byFrames.size(),
                  seconds(shortest, stems.get(0)),
                  seconds(longest, stems.get(0))),
              "",
              Weight.MINOR,
              "make sure that all of them start at the same moment"));
      return;
    }
    for (StemFile stem : stems) {
      long more = stem.frames() - most.getKey();
      if (more != 0) {
        findings.add(
            new Finding(
                Kind.LENGTH,
                String.format(
                    Locale.ROOT,
                    "'%s' is %d samples (%s) %s than %s",
                    stem.name(),
                    Math.abs(more),
                    length(Math.abs(more), stem),
                    more > 0 ? "longer" : "shorter",
                    most.getValue().size() == 1
                        ? "the other stem"
                        : "the other " + most.getValue().size()),
                stem.relativePath(),
                Weight.MATTERS,
                "make sure that it starts with the others: if not, every moment that it is part of"
                    + " is wrong"));
      }
    }
  }

  /** Milliseconds, of a second and more seconds. */
  private static String length(long frames, StemFile stem) {
    int rateHz = stem.format().sampleRateHz();
    return frames < rateHz
        ? String.format(Locale.ROOT, "%.1f ms", 1000.0 * frames / rateHz)
        : seconds(frames, stem);
  }

  private static String seconds(long frames, StemFile stem) {
    return String.format(Locale.ROOT, "%.3f s", (double) frames / stem.format().sampleRateHz());
  }

  private static void timeReferences(List<StemFile> stems, List<Finding> findings) {
    List<StemFile> dated = stems.stream().filter(s -> s.broadcast().isPresent()).toList();
    Map<Long, List<StemFile>> byTime = grouped(dated, FileFindings::timeReference);
    if (byTime.size() < 2) {
      return;
    }
    Map.Entry<Long, List<StemFile>> most = largest(byTime);
    for (StemFile stem : dated) {
      long later = timeReference(stem) - most.getKey();
      if (later != 0) {
        findings.add(
            new Finding(
                Kind.TIME_REFERENCE,
                String.format(
                    Locale.ROOT,
                    "'%s' has a time reference %d samples (%.3f s) %s than %s",
                    stem.name(),
                    Math.abs(later),
                    Math.abs(later) / (double) stem.format().sampleRateHz(),
                    later > 0 ? "later" : "earlier",
                    most.getValue().size() == 1
                        ? "another stem"
                        : "the other " + most.getValue().size()),
                stem.relativePath(),
                Weight.MATTERS,
                "put the stems there with --place timeref, if the references are right"));
      }
    }
  }

  private static long timeReference(StemFile stem) {
    return stem.broadcast().map(BroadcastInfo::timeReference).orElseThrow();
  }

  private static void bitDepths(List<StemFile> stems, List<Finding> findings) {
    Map<String, List<StemFile>> byDepth = grouped(stems, stem -> depth(stem.format()));
    if (byDepth.size() < 2) {
      return;
    }
    Map.Entry<String, List<StemFile>> most = largest(byDepth);
    byDepth.forEach(
        (depth, some) -> {
          if (!depth.equals(most.getKey())) {
            findings.add(
                new Finding(
                    Kind.BIT_DEPTH,
                    Notes.listed(some.stream().map(StemFile::name).toList())
                        + (some.size() == 1 ? " has " : " have ")
                        + depth
                        + ", the other "
                        + (most.getValue().size() == 1 ? "stem " : most.getValue().size() + " ")
                        + most.getKey(),
                    "",
                    Weight.MINOR,
                    "export all at one depth; peaks stay where they are"));
          }
        });
  }

  private static String depth(SoundFormat format) {
    return format.bits() + (format.kind() == SoundFormat.Kind.FLOAT ? " bits float" : " bits");
  }

  /** Names that other systems take for one and the same. */
  private static void names(List<StemFile> stems, List<Finding> findings) {
    Map<String, List<StemFile>> byName =
        grouped(
            stems,
            stem ->
                Normalizer.normalize(stem.relativePath(), Normalizer.Form.NFC)
                    .toLowerCase(Locale.ROOT));
    for (List<StemFile> some : byName.values()) {
      if (some.size() > 1) {
        findings.add(
            new Finding(
                Kind.NAME,
                Notes.listed(some.stream().map(StemFile::relativePath).toList())
                    + " differ only in upper and lower case, or in how letters are coded",
                some.get(0).relativePath(),
                Weight.MINOR,
                "rename one: other systems take them for one file, and one may be an old take"));
      }
    }
  }

  private static <K> Map<K, List<StemFile>> grouped(
      List<StemFile> stems, Function<StemFile, K> by) {
    Map<K, List<StemFile>> groups = new LinkedHashMap<>();
    stems.forEach(s -> groups.computeIfAbsent(by.apply(s), k -> new ArrayList<>()).add(s));
    return groups;
  }

  /** The group of most; the one that comes first on a tie. */
  private static <K> Map.Entry<K, List<StemFile>> largest(Map<K, List<StemFile>> groups) {
    Map.Entry<K, List<StemFile>> most = null;
    for (Map.Entry<K, List<StemFile>> each : groups.entrySet()) {
      if (most == null || each.getValue().size() > most.getValue().size()) {
        most = each;
      }
    }
    return most;
  }
}
