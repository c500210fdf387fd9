package cairn.tui.view;

import cairn.collisions.Pass;
import cairn.io.listing.Figures;
import cairn.tui.model.Model;
import cairn.tui.model.Song;

/** The two rows at the top: what is open, and how the bus stands. */
final class HeadView {

  private HeadView() {}

  static void draw(Canvas canvas, Model model, Glyphs glyphs) {
    Song song = model.song().get();
    Pass pass = song.pass();
    int columns = canvas.size().columns();
    String facts =
        Figures.count(pass.session().stems().size(), "stem")
            + "  "
            + Figures.rate(song.sampleRateHz())
            + "  "
            + Words.length(pass.session().frames(), song.sampleRateHz());
    String state =
        model.readOnly().isPresent() ? "read-only" : model.unsaved().isPresent() ? "not saved" : "";
    String collected =
        model.faders().equals(pass.session().faders()) ? "" : "faders to sum: S, Enter";
    String right =
        state.isEmpty() ? collected : collected.isEmpty() ? state : state + "  " + collected;
    String passText = ", pass " + song.passNumber() + "   ";
    int room = columns - passText.length() - facts.length() - right.length() - 2;
    int at = canvas.putCut(0, 0, Words.cut(song.title(), room, glyphs), room, Style.BOLD);
    at = canvas.put(0, at, passText);
    canvas.put(0, at, facts);
    canvas.putRight(0, columns, right, Style.OVER);

    String now =
        model.deeds().marks().fixes().isEmpty()
            ? ""
            : " now "
                + model.busNow().map(bus -> Words.level(bus.peak())).orElse(glyphs.ellipsis());
    String over =
        Figures.count(pass.moments().size(), "moment")
            + " over"
            + (now.isEmpty()
                ? ""
                : ", now "
                    + model
                        .busNow()
                        .map(bus -> String.valueOf(bus.runs().size()))
                        .orElse(glyphs.ellipsis()));
    at = canvas.put(1, 0, "peak " + Words.level(pass.peak()));
    at = canvas.put(1, at, now, Style.BOLD);
    at = canvas.put(1, at, "   average " + Words.level(pass.line().averagePeak().overall()));
    at = canvas.put(1, at, "   line " + Words.level(pass.line().level(0)) + " dBFS");
    if (at + over.length() + 3 <= columns) {
      canvas.put(1, at, "   " + over);
    }
    if (!model.whatIf()) {
      canvas.putRight(1, columns, "what-if off", Style.BOLD);
    }
  }
}
