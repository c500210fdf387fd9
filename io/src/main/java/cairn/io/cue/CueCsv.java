package cairn.io.cue;

import cairn.collisions.cue.Cue;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.io.listing.Csv;
import cairn.io.listing.Figures;
import java.io.IOException;
import java.io.Writer;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** Cues as CSV, a row a cue; fields with the package. */
public final class CueCsv {

  private static final List<String> HEADER =
      List.of(
          "rank",
          "moment",
          "seconds",
          "time",
          "from",
          "to",
          "stem",
          "fix",
          "amount",
          "unit",
          "excessDb",
          "alike",
          "done",
          "note",
          "text");

  private CueCsv() {}

  /** Writes the sheet and leaves the writer open. */
  public static void write(CueSheet sheet, Writer out) throws IOException {
    Csv.writeRow(out, HEADER);
    for (Cue cue : sheet.list().cues()) {
      List<Object> row = new ArrayList<>();
      row.add(cue.rank().isPresent() ? cue.rank().getAsInt() : "");
      row.add(cue.frame());
      row.add(Figures.fixed(sheet.seconds(cue), 6));
      row.add(Csv.guarded(cue.time()));
      row.add(cue.fromFrame());
      row.add(cue.endFrame());
      row.add(Csv.guarded(sheet.list().stemName(cue)));
      row.add(cue.fix().map(fix -> fix.kind().name().toLowerCase(Locale.ROOT)).orElse(""));
      row.add(cue.fix().map(CueCsv::amount).orElse(""));
      row.add(cue.fix().map(CueCsv::unit).orElse(""));
      row.add(cue.excessDb().isPresent() ? Figures.fixed(cue.excessDb().getAsDouble(), 4) : "");
      row.add(cue.alike());
      row.add(cue.done());
      row.add(Csv.guarded(cue.note().orElse("")));
      row.add(Csv.guarded(cue.text()));
      Csv.writeRow(out, row);
    }
  }

  private static String amount(Fix fix) {
    if (fix instanceof Nudge nudge) {
      return String.valueOf(Math.abs(nudge.frames()));
    }
    return Figures.fixed(fix instanceof Trim trim ? trim.db() : ((Clip) fix).ceilingDb(), 1);
  }

  private static String unit(Fix fix) {
    return switch (fix.kind()) {
      case NUDGE -> ((Nudge) fix).frames() > 0 ? "samples later" : "samples earlier";
      case TRIM -> "dB down";
      case CLIP -> "dBFS on the bus";
    };
  }
}
