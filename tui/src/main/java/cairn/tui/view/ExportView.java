package cairn.tui.view;

import cairn.collisions.moment.Moment;
import cairn.collisions.plan.Mark;
import cairn.io.listing.Figures;
import cairn.tui.model.Model;
import cairn.tui.model.Screen;
import cairn.tui.model.Song;
import cairn.tui.update.Exports;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** The formats of the cue list, and its first lines. */
final class ExportView {

  private static final int FIRST_ROW = 3;
  private static final int WHAT = 10;
  private static final int STEM = 16;
  private static final int LEAST_NAME = 18;

  private ExportView() {}

  static void draw(Sheet sheet) {
    Model model = sheet.model();
    Pictures.title(sheet, Screen.EXPORT, "");
    Canvas canvas = sheet.canvas();
    List<Exports.Format> formats = Exports.FORMATS;
    canvas.put(FIRST_ROW - 1, 2, "format");
    canvas.put(FIRST_ROW - 1, WHAT, "what it is");
    Scrolled.draw(
        sheet,
        FIRST_ROW,
        formats.size(),
        formats.size(),
        (row, index, style) -> {
          canvas.put(row, 2, formats.get(index).name(), style);
          sheet.sentence(row, WHAT, formats.get(index).what(), sheet.columns() - WHAT, style);
        });
    if (model.song().isPresent()) {
      preview(sheet, model.song().get(), FIRST_ROW + formats.size() + 1);
    }
  }

  /** The first cues by time, as the list will tell them. */
  private static void preview(Sheet sheet, Song song, int heading) {
    Canvas canvas = sheet.canvas();
    List<Mark.OfFix> marks =
        sheet.model().deeds().marks().fixes().stream()
            .sorted(Comparator.comparingLong(Mark.OfFix::momentFrame))
            .toList();
    if (marks.isEmpty()) {
      canvas.put(heading, 2, "no cue yet");
      return;
    }
    int room = sheet.rows() - 3 - heading - 1;
    int shown = Math.min(room, marks.size());
    canvas.put(
        heading,
        2,
        Figures.count(marks.size(), "cue")
            + (shown < marks.size() ? ", the first " + shown + " of them" : ""));
    int name = LEAST_NAME + Math.max(0, sheet.columns() - 80) / 6;
    Map<Long, Moment> moments = new HashMap<>();
    song.pass().moments().forEach(moment -> moments.put(moment.peakFrame(), moment));
    int fix = STEM + name + 1;
    for (int i = 0; i < shown; i++) {
      Mark.OfFix mark = marks.get(i);
      int row = heading + 1 + i;
      canvas.putRight(row, STEM - 2, Words.time(mark.momentFrame(), song.sampleRateHz()));
      canvas.put(row, STEM, sheet.names().fit(mark.fix().stem(), name));
      int at = canvas.put(row, fix, Words.fix(mark.fix(), song.sampleRateHz()), Style.PLAIN);
      Moment moment = moments.get(mark.momentFrame());
      if (moment != null) {
        String excess = "excess " + Words.excess(moment.excessDb()) + " dB";
        canvas.put(row, Math.max(at + 2, fix + 20), excess);
      }
    }
  }
}
