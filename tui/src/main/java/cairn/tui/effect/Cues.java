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
import java.nio.file.Path;
import java.util.LinkedHashSet;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;

/** Writes the marked moments as a cue list. */
final class Cues {

  private Cues() {}

  /**
   * Writes.
   *
   * @return one line that says what and where
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
    Set<Mark> done = new LinkedHashSet<>();
    for (Mark mark : state.marks().list()) {
      if (state.done().contains(mark.momentFrame())) {
        done.add(mark);
      }
    }
    TimeNotation notation =
        tempo.<TimeNotation>map(TimeNotation.BarsBeats::new).orElse(new TimeNotation.Clock(0));
    CueList list = CueList.of(pass, state.marks(), notation, done);
    Path name = set.folder().getFileName();
    CueFile.write(
        new CueSheet(SafeText.of(name == null ? set.folder() : name), list, tempo),
        new CueFile.How(
            CueFormat.valueOf(format.toUpperCase(Locale.ROOT)), false, Optional.empty()),
        target,
        force,
        set.inputs());
    return Figures.count(list.cues().size(), "cue") + " written to " + SafeText.of(target);
  }
}
