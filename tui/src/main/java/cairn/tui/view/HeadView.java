package cairn.tui.view;

import cairn.collisions.Pass;
import cairn.collisions.PeakMode;
import cairn.collisions.loudness.LimiterWork;
import cairn.collisions.loudness.Loudness;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.tui.model.Model;
import cairn.tui.model.Song;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;

/** The two rows at the top: what is open, and how the bus stands. */
final class HeadView {

  private HeadView() {}

  static void draw(Sheet sheet) {
    Song song = sheet.model().song().get();
    Pass pass = song.pass();
    String facts =
        Figures.count(pass.session().stems().size(), "stem")
            + " "
            + Figures.rate(song.sampleRateHz())
            + " "
            + Words.clock(pass.session().frames(), song.sampleRateHz());
    title(sheet, "   " + facts, loudness(pass));
    figures(sheet, pass);
  }

  /** Row 0: the session, and what is known of it; the name is cut, numbers never. */
  static void title(Sheet sheet, String facts, String right) {
    Song song = sheet.model().song().get();
    String passText = ", pass " + song.passNumber();
    String flags = String.join("  ", flags(sheet.model()));
    String told = facts + (flags.isEmpty() ? "" : "  ");
    int columns = sheet.columns();
    String shownRight = right;
    if (columns - passText.length() - told.length() - flags.length() - right.length() - 2 < 8) {
      shownRight = right.replace("loud part ", "").replace(", goal ", " goal ");
    }
    int room =
        columns
            - passText.length()
            - told.length()
            - flags.length()
            - (shownRight.isEmpty() ? 0 : shownRight.length() + 2);
    int at = sheet.cut(0, 0, song.title(), room, Style.BOLD);
    at = sheet.canvas().put(0, at, passText + told, Style.PLAIN);
    sheet.canvas().put(0, at, flags, Style.OVER);
    sheet.canvas().putRight(0, columns, shownRight);
  }

  private static List<String> flags(Model model) {
    List<String> flags = new ArrayList<>();
    if (model.readOnly().isPresent()) {
      flags.add("read-only");
    } else if (model.unsaved().isPresent()) {
      flags.add("not saved");
    }
    if (!model.whatIf()) {
      flags.add("what-if off");
    }
    if (model.isToSumAgain()) {
      flags.add("S: faders to sum");
    }
    return flags;
  }

  /** {@code loud part -11.6 LUFS, goal -8.0}; what is not known is left out. */
  static String loudness(Pass pass) {
    StringBuilder text = new StringBuilder();
    loudPartLufs(pass)
        .ifPresent(
            lufs -> text.append("loud part ").append(Figures.fixed(lufs, 1)).append(" LUFS"));
    pass.limiter()
        .ifPresent(
            work ->
                text.append(text.length() == 0 ? "goal " : ", goal ")
                    .append(Figures.fixed(work.goal().targetLufs(), 1)));
    return text.toString();
  }

  static OptionalDouble loudPartLufs(Pass pass) {
    return pass.loudness()
        .map(l -> Loudness.of(l.bus(), pass.line().loudPart()).integratedLufs())
        .orElse(OptionalDouble.empty());
  }

  private static void figures(Sheet sheet, Pass pass) {
    Model model = sheet.model();
    boolean whatIf = model.whatIf() && !model.deeds().marks().fixes().isEmpty();
    String now =
        whatIf
            ? " now "
                + model
                    .busNow()
                    .map(bus -> Words.level(bus.peak()))
                    .orElse(sheet.glyphs().ellipsis())
            : "";
    List<String> parts = new ArrayList<>();
    parts.add("peak " + Words.level(pass.peak()) + now);
    parts.add("average " + Words.level(pass.line().averagePeak().overall()));
    PeakMode mode = pass.settings().mode();
    // Samples are what is taken for granted where there is no room to say it.
    boolean saysUnit = sheet.columns() >= Layout.WIDE_COLUMNS || mode != PeakMode.SAMPLE_PEAK;
    parts.add(
        (pass.line().isLevel() ? "line " + Words.level(pass.line().level(0)) : "line moves along")
            + (saysUnit ? " " + mode.unit() : ""));
    String right =
        pass.limiter()
            .map(work -> limiter(sheet, pass, work, whatIf))
            .orElseGet(() -> over(sheet, pass, whatIf));
    int length = right.length();
    for (String part : parts) {
      length += part.length();
    }
    if (length + parts.size() > sheet.columns()) {
      length -= parts.remove(1).length();
    }
    int gap = Math.max(1, Math.min(3, (sheet.columns() - length) / parts.size()));
    int at = 0;
    for (String part : parts) {
      at = sheet.canvas().put(1, at, part, Style.PLAIN) + gap;
    }
    if (whatIf) {
      sheet.canvas().restyle(1, parts.get(0).indexOf("now") + 4, now.length() - 5, Style.BOLD);
    }
    sheet.canvas().putRight(1, sheet.columns(), right);
  }

  private static String limiter(Sheet sheet, Pass pass, LimiterWork work, boolean whatIf) {
    String now =
        whatIf
            ? " now "
                + sheet
                    .model()
                    .busNow()
                    .map(bus -> db(work.dbAt(bus.peak())))
                    .orElse(sheet.glyphs().ellipsis())
            : "";
    return (work.goal().ceilingMode() == pass.settings().mode() ? "limiter " : "limiter ~")
        + db(work.dbAt(pass.peak()))
        + now
        + ", may "
        + Figures.fixed(work.goal().allowanceDb(), 1);
  }

  /** What a limiter takes, never under nothing. */
  static String db(double taken) {
    return Figures.fixed(Math.max(0, taken), 1);
  }

  private static String over(Sheet sheet, Pass pass, boolean whatIf) {
    return Figures.count(pass.moments().size(), "moment")
        + " over"
        + (whatIf
            ? ", now "
                + sheet
                    .model()
                    .busNow()
                    .map(bus -> String.valueOf(bus.runs().size()))
                    .orElse(sheet.glyphs().ellipsis())
            : "");
  }

  /** Row 0 while nothing is known but the name. */
  static void nameAlone(Sheet sheet) {
    sheet
        .canvas()
        .put(
            0,
            0,
            SafeText.cut(sheet.model().title(), sheet.columns(), sheet.glyphs().ellipsis()),
            Style.BOLD);
  }
}
