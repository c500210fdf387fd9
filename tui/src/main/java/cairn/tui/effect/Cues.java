package cairn.tui.effect;

import cairn.collisions.Pass;
import cairn.collisions.cue.CueList;
import cairn.collisions.plan.Mark;
import cairn.collisions.time.TempoMap;
import cairn.collisions.time.TimeNotation;
import cairn.io.cue.CueFile;
import cairn.io.cue.CueFormat;
import cairn.io.cue.CueSheet;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.io.stems.StemSet;
import cairn.tui.model.Kept;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;

/** Writes the marks as a cue list. */
final class Cues {

  private Cues() {}

  /**
   * Writes it whole or not at all.
   *
   * @param format name of a {@link CueFormat}, in any case
   * @return one line that says what and where
   * @throws IOException if it cannot be written; one line
   */
  static String write(
      Pass pass,
      StemSet set,
      Optional<TempoMap> tempo,
      Kept state,
      String format,
      Path target,
      boolean force)
      throws IOException {
    CueFormat kind = CueFormat.valueOf(format.toUpperCase(Locale.ROOT));
    if (kind == CueFormat.WAVE && target.toAbsolutePath().normalize().startsWith(set.folder())) {
      throw new IOException(
          "'"
              + SafeText.of(target)
              + "' lies in the stems' folder, where it would be taken for a stem; name a place"
              + " outside of it");
    }
    if (!force && Files.exists(target, LinkOption.NOFOLLOW_LINKS)) {
      throw new IOException(
          "'"
              + SafeText.of(target)
              + "' is already there; name another, or replace it with ! before its name");
    }
    Set<Mark> done = new HashSet<>();
    state.marks().list().stream()
        .filter(mark -> state.done().contains(mark.momentFrame()))
        .forEach(done::add);
    CueList list = CueList.of(pass, state.marks(), notation(tempo), done);
    if (list.isEmpty()) {
      throw new IOException("there is no fix among the marks, so there is no cue to write");
    }
    Path name = set.folder().getFileName();
    CueSheet sheet = new CueSheet(SafeText.of(name == null ? set.folder() : name), list, tempo);
    CueFile.How how = new CueFile.How(kind, false, Optional.empty());
    CueFile.write(sheet, how, target, force, set.inputs());
    String written =
        Figures.count(list.cues().size(), "cue") + " written to '" + SafeText.of(target) + "'";
    return kind == CueFormat.MIDI && tempo.isPresent()
        ? written
            + String.format(
                Locale.ROOT,
                "; in the song's tempo, up to %.1f samples beside their own",
                CueFile.worstErrorFrames(sheet, how))
        : written;
  }

  private static TimeNotation notation(Optional<TempoMap> tempo) {
    return tempo.<TimeNotation>map(TimeNotation.BarsBeats::new).orElse(TimeNotation.CLOCK);
  }
}
