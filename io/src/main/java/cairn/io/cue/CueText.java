package cairn.io.cue;

import cairn.collisions.cue.Cue;
import cairn.collisions.cue.CueList;
import cairn.collisions.time.ClockTime;
import cairn.collisions.time.TempoEstimate;
import cairn.collisions.time.TempoMap;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.io.listing.Table;
import java.util.ArrayList;
import java.util.List;

/** Cues on paper: a box to tick, when, which stem, what to do, and the stretch to cut. */
public final class CueText {

  private CueText() {}

  /** The lines. */
  public static List<String> lines(CueSheet sheet) {
    CueList list = sheet.list();
    int rate = sheet.sampleRateHz();
    List<String> lines = new ArrayList<>();
    lines.add("Cues for " + sheet.name());
    lines.add(
        Figures.rate(rate)
            + ", "
            + ClockTime.of(list.session().frames(), rate)
            + ", "
            + Figures.count(list.cues().size(), "cue")
            + " on "
            + Figures.count(list.stems().size(), "stem")
            + "; samples count from the common start of the stems");
    sheet
        .tempo()
        .filter(TempoMap::isEstimate)
        .ifPresent(map -> lines.add("tempo: " + TempoEstimate.words(map)));
    lines.add("");
    Table table = new Table();
    table.row(
        List.of(
            "<", "<time", ">sample", "<stem", "<what", "<from", "<to", ">rank", ">over", "<like"));
    for (Cue cue : list.cues()) {
      boolean listed = cue.fix().isEmpty();
      table.row(
          List.of(
              cue.done() ? "[x]" : "[ ]",
              cue.time(),
              String.valueOf(cue.frame()),
              listed
                  ? cue.text().substring(0, cue.text().length() - cue.words().length() - 2)
                  : list.stemName(cue),
              cue.words(),
              ClockTime.of(cue.fromFrame(), rate),
              ClockTime.of(cue.endFrame(), rate),
              cue.rank().isPresent() ? String.valueOf(cue.rank().getAsInt()) : "-",
              cue.excessDb().isPresent() ? Figures.fixed(cue.excessDb().getAsDouble(), 1) : "-",
              cue.alike() > 1 ? "x" + cue.alike() : ""));
    }
    List<String> rows = table.lines();
    lines.add(rows.get(0));
    for (int i = 0; i < list.cues().size(); i++) {
      lines.add(rows.get(i + 1));
      list.cues().get(i).note().ifPresent(note -> lines.add("       " + SafeText.of(note)));
    }
    return lines;
  }
}
