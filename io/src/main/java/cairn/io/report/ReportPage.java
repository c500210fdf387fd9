package cairn.io.report;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.PeakMode;
import cairn.collisions.StemFigures;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.line.Line;
import cairn.collisions.loudness.LimiterWork;
import cairn.collisions.loudness.Loudness;
import cairn.collisions.loudness.LoudnessSummary;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.Ladder;
import cairn.collisions.plan.PassComparison.Fate;
import cairn.collisions.plan.PassComparison.State;
import cairn.collisions.time.ClockTime;
import cairn.collisions.time.TempoEstimate;
import cairn.io.listing.Figures;
import cairn.io.listing.FixWords;
import cairn.io.listing.Since;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.OutputStreamWriter;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import javax.xml.stream.XMLStreamException;

/** Writes a report as one page of HTML. */
public final class ReportPage {

  /** More moments than this are counted, not listed: a page is for reading. */
  static final int MOST_MOMENTS = 200;

  /** More places than this are counted, not named. */
  private static final int MOST_PLACES = 6;

  private final Html html;
  private final Report report;
  private final Pass pass;
  private final int rate;

  /** Heads of the table whose cells carry them, while it is written. */
  private List<String> labels = List.of();

  private int column;

  private ReportPage(Html html, Report report) {
    this.html = html;
    this.report = report;
    pass = report.pass();
    rate = pass.session().sampleRateHz();
  }

  /** Writes the page, and leaves the stream open. */
  public static void write(Report report, OutputStream out) throws IOException {
    Writer writer = new OutputStreamWriter(out, StandardCharsets.UTF_8);
    try {
      Html html = new Html(writer);
      new ReportPage(html, report).write();
      html.finish();
    } catch (Html.NotWritten e) {
      throw e.getCause() instanceof XMLStreamException x
              && x.getNestedException() instanceof IOException io
          ? io
          : new IOException(e.getCause());
    }
    writer.write('\n');
    writer.flush();
  }

  private void write() throws IOException {
    html.doctype();
    html.open("html", "lang", "en");
    html.open("head");
    html.open("meta", "charset", "utf-8");
    html.open("meta", "name", "viewport", "content", "width=device-width, initial-scale=1");
    html.open("meta", "name", "color-scheme", "content", "light dark");
    html.element("title", report.title() + ": the report");
    html.element("style", style());
    html.close("head").open("body").open("main");
    head();
    plainWords();
    section("figures", "In figures", this::figures);
    section("map", "The song", () -> SongFigure.write(html, report));
    report.second().ifPresent(second -> section("since", "What became of them", this::since));
    report.marked().ifPresent(marked -> section("fixes", "The fixes", this::fixes));
    if (!report.closeUps().isEmpty()) {
      section("near", "From near", this::near);
    }
    section("ladder", "The ladder", this::ladder);
    pass.limiter().ifPresent(work -> section("goal", "The goal", this::goal));
    report
        .spectrum()
        .ifPresent(
            compared -> section("bands", "Spectrum", () -> SpectrumFigure.write(html, compared)));
    section("moments", "All moments", this::moments);
    section("stems", "The stems", this::stems);
    html.close("main").close("body").close("html");
  }

  private static String style() throws IOException {
    try (InputStream in = ReportPage.class.getResourceAsStream("report.css")) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
  }

  private void section(String id, String title, Runnable content) {
    html.newline();
    html.open("section", "id", id, "aria-labelledby", id + "-h");
    html.element("h2", title, "id", id + "-h");
    content.run();
    html.close("section");
  }

  private void head() {
    html.open("header").open("h1").name(report.title()).close("h1");
    html.open("p", "class", "sub");
    html.text(
        Figures.count(pass.session().stems().size(), "stem")
            + ", "
            + Figures.rate(rate)
            + ", "
            + ClockTime.of(pass.session().frames(), rate)
            + (pass.settings().mode() == PeakMode.TRUE_PEAK
                ? ". Peaks are true peaks, between samples too, in dBTP."
                : ". Peaks are those of samples, in dBFS."));
    if (report.isTempoEstimated()) {
      html.text(" Bars and beats: " + TempoEstimate.words(report.tempo().orElseThrow()) + ".");
    }
    html.close("p").close("header");
  }

  private void plainWords() {
    html.open("section", "id", "words", "aria-labelledby", "words-h");
    html.element("h2", "In plain words", "id", "words-h");
    if (report.second().isPresent()) {
      secondInWords(report.second().get());
    } else if (pass.moments().isEmpty()) {
      html.element(
          "p", "Nothing stands out: the loudest instants of this song are all about as loud.");
    } else {
      firstInWords();
    }
    html.close("section");
  }

  private void firstInWords() {
    long together = pass.moments().stream().filter(moment -> !moment.isLone()).count();
    html.element(
        "p",
        String.format(
            Locale.ROOT,
            "In %s of this song the sound stands out for an instant, higher than the peaks around"
                + " it%s. They are very short, but they decide how far the whole song can"
                + " be turned up.",
            Figures.count(pass.moments().size(), "moment"),
            together == 0
                ? ""
                : "; "
                    + (together == pass.moments().size() ? "each time" : together + " times")
                    + " because several parts hit their highest point together"));
    if (report.marked().isEmpty()) {
      return;
    }
    Marked marked = report.marked().get();
    double wonDb = Decibels.ofAmplitude(pass.peak()) - Decibels.ofAmplitude(marked.whatIf().peak());
    html.open("div", "class", "cards");
    card(
        "won",
        exact(wonDb),
        Figures.fixed(Math.abs(wonDb), 1) + " dB",
        wonDb < 0 ? "softer, at the same peak" : "louder, at the same peak");
    card(
        "hits", String.valueOf(marked.places()), String.valueOf(marked.places()), hitsWord(marked));
    double millis = mostMillis(marked);
    if (millis > 0) {
      card(
          "most-moved",
          exact(millis),
          Figures.fixed(millis, 2) + " ms",
          "the longest way a hit is moved");
    }
    html.close("div");
    List<String> parts = new ArrayList<>();
    count(
        parts,
        marked.places(Fix.Kind.NUDGE),
        "moved by at most " + Figures.fixed(millis, 2) + " ms");
    count(
        parts,
        marked.places(Fix.Kind.TRIM),
        "turned down by at most " + Figures.fixed(mostTrimDb(marked), 1) + " dB");
    count(parts, marked.places(Fix.Kind.CLIP), "cut off at the very tip");
    long cleared = pass.moments().stream().filter(marked::clears).count();
    double seconds = (double) marked.whatIf().alteredFrames() / rate;
    html.element(
        "p",
        (marked.isPlan()
                ? "The plan, a proposal of which nothing is done yet, calms "
                : "The marks made so far calm ")
            + (cleared == pass.moments().size() ? "all of them: " : cleared + " of them: ")
            + String.join(", ", parts)
            + String.format(
                Locale.ROOT,
                ". In all, %s s of sound are touched, %s %% of all there is; the rest stays as it"
                    + " is, bit by bit.",
                Figures.fixed(seconds, 2),
                Figures.fixed(
                    100
                        * marked.whatIf().alteredFrames()
                        / ((double) pass.session().stems().size() * pass.range().frames()),
                    3)));
    html.element(
        "p",
        String.format(
            Locale.ROOT,
            wonDb < 0
                ? "The highest peak goes up by %1$s dB, so the whole song has to be %1$s dB softer"
                    + " to peak as it does now."
                : "The highest peak comes down by %1$s dB, so the whole song can be %1$s dB louder"
                    + " before it peaks as high as it does now.",
            Figures.fixed(Math.abs(wonDb), 2)));
    caution();
  }

  private void caution() {
    html.element(
        "p",
        "Louder is louder in every room: turn speakers and headphones down before you compare.",
        "class",
        "care");
  }

  private void secondInWords(SecondPass second) {
    html.element(
        "p",
        String.format(
            Locale.ROOT,
            "These are stems that were exported anew. Of the %s that stood out before, %s%s%s; %s.",
            Figures.count(second.since().comparison().fates().size(), "moment"),
            those(second, State.GONE, "gone"),
            ", " + those(second, State.LOWER, "lower"),
            " and " + those(second, State.STILL, "still there"),
            those(second, State.NEW, "new")));
    double fellDb =
        Decibels.ofAmplitude(second.earlier().peak()) - Decibels.ofAmplitude(pass.peak());
    OptionalDouble louder = louderAtEqualPeak(second);
    html.open("div", "class", "cards");
    if (louder.isPresent()) {
      card(
          "won",
          exact(louder.getAsDouble()),
          Figures.fixed(Math.abs(louder.getAsDouble()), 1) + " LU",
          louder.getAsDouble() < 0 ? "softer, at the same peak" : "louder, at the same peak");
    }
    card(
        "peak-fell",
        exact(fellDb),
        Figures.fixed(Math.abs(fellDb), 2) + " dB",
        fellDb < 0 ? "higher is the highest peak" : "lower is the highest peak");
    card(
        "gone",
        String.valueOf(second.since().comparison().count(State.GONE)),
        String.valueOf(second.since().comparison().count(State.GONE)),
        "moments are gone");
    html.close("div");
    caution();
  }

  /** Such as {@code 33 are gone}. */
  private static String those(SecondPass second, State state, String what) {
    long count = second.since().comparison().count(state);
    return (count == 0 ? "none is " : count == 1 ? "1 is " : count + " are ") + what;
  }

  /** Loudness over peak now, less loudness over peak then: definitions.md, 6. */
  private OptionalDouble louderAtEqualPeak(SecondPass second) {
    OptionalDouble now = overPeak(pass);
    OptionalDouble then = overPeak(second.earlier());
    return now.isPresent() && then.isPresent()
        ? OptionalDouble.of(now.getAsDouble() - then.getAsDouble())
        : OptionalDouble.empty();
  }

  private static OptionalDouble overPeak(Pass of) {
    OptionalDouble lufs =
        of.loudness()
            .map(metered -> Loudness.of(metered.bus()).integratedLufs())
            .orElse(OptionalDouble.empty());
    return lufs.isPresent()
        ? OptionalDouble.of(lufs.getAsDouble() - Decibels.ofAmplitude(of.peak()))
        : OptionalDouble.empty();
  }

  private void card(String key, String exact, String shown, String what) {
    html.open("div", "class", "card");
    html.figure(key, exact, shown).element("span", what).close("div");
  }

  private static String hitsWord(Marked marked) {
    return (marked.places() == 1 ? "hit is touched, by " : "hits are touched, by ")
        + marked.fixes().size()
        + (marked.fixes().size() == 1 ? " fix" : " fixes");
  }

  private static void count(List<String> parts, int hits, String what) {
    if (hits > 0) {
      parts.add(Figures.count(hits, "hit") + " " + what);
    }
  }

  private double mostMillis(Marked marked) {
    double most = 0;
    for (FixRow row : marked.fixes()) {
      if (row.fix() instanceof Nudge nudge) {
        most = Math.max(most, 1000.0 * Math.abs(nudge.frames()) / rate);
      }
    }
    return most;
  }

  private static double mostTrimDb(Marked marked) {
    double most = 0;
    for (FixRow row : marked.fixes()) {
      if (row.fix() instanceof Trim trim) {
        most = Math.max(most, trim.db());
      }
    }
    return most;
  }

  private void figures() {
    html.open("dl", "class", "figures");
    level(
        "peakDb",
        "bus peak",
        pass.peak(),
        " " + unit() + " at " + time(pass.summary().peakFrame()));
    report
        .marked()
        .ifPresent(
            marked ->
                level(
                    "peakAfterDb",
                    marked.isPlan() ? "with the plan" : "with the marks",
                    marked.whatIf().peak(),
                    " " + unit()));
    report
        .second()
        .ifPresent(
            second ->
                level(
                    "peakThenDb",
                    "bus peak before",
                    second.earlier().peak(),
                    " " + second.earlier().settings().mode().unit()));
    level(
        "averagePeakDb",
        "average peak",
        pass.line().averagePeak().overall(),
        " " + unit() + ", the mean of the peaks of half-second windows");
    if (pass.line().isLevel()) {
      level("lineDb", "line", pass.line().level(0), " " + unit() + ", " + lineWords());
    } else {
      entry("line", lineWords());
    }
    long lone = pass.moments().stream().filter(Moment::isLone).count();
    html.element("dt", "over the line").open("dd");
    html.figure(
        "moments",
        String.valueOf(pass.moments().size()),
        Figures.count(pass.moments().size(), "moment"));
    html.text(
        ": "
            + Figures.count(pass.moments().size() - lone, "collision")
            + " of several stems, "
            + Figures.count(lone, "lone peak"));
    html.close("dd");
    pass.loudness().ifPresent(this::loudness);
    html.close("dl");
  }

  private void loudness(LoudnessSummary metered) {
    Loudness whole = Loudness.of(metered.bus());
    lufs(
        "loudPartLufs",
        "loudness, loud part",
        Loudness.of(metered.bus(), pass.line().loudPart()).integratedLufs());
    lufs("integratedLufs", "loudness, all", whole.integratedLufs());
    if (whole.rangeLu().isPresent()) {
      number("loudnessRangeLu", "loudness range", whole.rangeLu().getAsDouble(), 1, " LU");
    }
    level("truePeakDb", "true peak", metered.busTruePeak(), " dBTP");
    number("crestDb", "crest factor", metered.busCrestDb(pass.peak()), 1, " dB");
  }

  private String unit() {
    return pass.settings().mode().unit();
  }

  private String lineWords() {
    if (pass.settings().goalDrawsLine()) {
      return "the goal line";
    }
    if (pass.settings().line() instanceof Line.Margin margin
        && pass.line().line() instanceof Line.Margin) {
      return Figures.plain(margin.marginDb()) + " dB above the average peak";
    }
    return pass.settings().line() instanceof Line.Held ? "held since the earlier pass" : "as given";
  }

  private void entry(String name, String text) {
    html.element("dt", name).element("dd", text);
  }

  private void level(String key, String name, double level, String after) {
    html.element("dt", name).open("dd");
    html.figure(key, exact(Decibels.ofAmplitude(level)), Figures.db(level, 2));
    html.text(after).close("dd");
  }

  private void number(String key, String name, double number, int decimals, String after) {
    html.element("dt", name).open("dd");
    html.figure(key, exact(number), Double.isNaN(number) ? "-" : Figures.fixed(number, decimals));
    html.text(after).close("dd");
  }

  private void lufs(String key, String name, OptionalDouble lufs) {
    if (lufs.isPresent()) {
      number(key, name, lufs.getAsDouble(), 2, " LUFS");
    } else {
      entry(name, "not measurable");
    }
  }

  /** As the list's JSON has it: four decimals, nothing where there is none. */
  private static String exact(double number) {
    return Double.isFinite(number) ? Figures.fixed(number, 4) : "";
  }

  private void since() {
    Since since = report.second().orElseThrow().since();
    html.element("p", since.headLine(report.pass().settings().mode().unit()) + ".");
    List<String> lines = since.stemLines((what, text) -> what + ": " + text);
    if (!lines.isEmpty()) {
      html.open("ul");
      lines.forEach(line -> html.element("li", line));
      html.close("ul");
    }
    beginTable(
        "What became of each earlier moment",
        List.of("time then", "was", "now", "<state", "fell by, dB"));
    for (Fate fate : since.comparison().fates().stream().limit(MOST_MOMENTS).toList()) {
      html.open("tr").element("th", time(fate.moment().peakFrame()), "scope", "row");
      html.element("td", Figures.db(fate.moment().peak(), 2));
      html.element("td", Figures.db(fate.peakNow(), 2));
      html.element("td", Since.words(fate.state()), "class", "words");
      html.element("td", Since.fell(OptionalDouble.of(fate.gotDb())));
      html.close("tr");
    }
    endTable();
  }

  private void fixes() {
    Marked marked = report.marked().orElseThrow();
    if (marked.fixes().isEmpty()) {
      html.element("p", "No fix: nothing within the limits brings a moment down.");
      return;
    }
    html.element(
        "p",
        marked.isPlan()
            ? "Proposed from the highest peak down, the gentlest first; each row says what is left"
                + " after it and all above it."
            : "As they were marked, in that order.");
    boolean after = marked.fixes().stream().allMatch(row -> row.peakAfter().isPresent());
    List<String> heads = new ArrayList<>(List.of("stem", "<fix", "<at"));
    if (after) {
      heads.add("peak after");
    }
    heads.add("<why");
    beginStack("Fixes, " + marked.fixes().size() + " in " + marked.places() + " places", heads);
    for (FixRow row : marked.fixes()) {
      row("fix-row").name(report.name(row.fix().stem())).close("th");
      cell("words").text(FixWords.of(row.fix(), rate)).close("td");
      cell("words").text(places(row.places())).close("td");
      if (after) {
        cell("").text(Figures.db(row.peakAfter().getAsDouble(), 2)).close("td");
      }
      cell("words").text(row.why()).close("td");
      html.close("tr");
    }
    endStack();
  }

  private String places(List<Long> frames) {
    StringBuilder text = new StringBuilder();
    for (long frame : frames.stream().limit(MOST_PLACES).toList()) {
      text.append(text.length() > 0 ? ", " : "").append(time(frame));
    }
    return frames.size() > MOST_PLACES
        ? text + " and " + (frames.size() - MOST_PLACES) + " more"
        : text.toString();
  }

  private void near() {
    html.element(
        "p",
        "The highest moments. Above, each stem's part of the peak as a stone that begins where the"
            + " last one ended: so one sees how they climb past the average peak (plain upright)"
            + " and the line (dashed). Stones that step back ease the peak. Below, the bus about"
            + " it, and the stems that lead.");
    html.open("div", "class", "nears");
    for (CloseUp closeUp : report.closeUps()) {
      CloseUpFigure.write(html, report, closeUp);
    }
    html.close("div");
  }

  private void ladder() {
    Ladder ladder = Ladder.of(pass.moments(), pass.line());
    if (ladder.rows().isEmpty()) {
      html.element("p", "Nothing is over the line.");
      return;
    }
    html.element(
        "p",
        "How many moments have to be dealt with for so much headroom, and how many fixes that takes"
            + " where one serves all moments that are alike. The last row is the line.");
    int most = ladder.rows().get(ladder.rows().size() - 1).moments();
    beginTable("Headroom against moments", List.of("to win, dB", "moments", "fixes", ""));
    for (Ladder.Row row : ladder.rows()) {
      html.open("tr").element("th", Figures.fixed(row.headroomDb(), 2), "scope", "row");
      html.element("td", String.valueOf(row.moments()));
      html.element("td", String.valueOf(row.fixes()));
      html.open("td", "class", "rung", "aria-hidden", "true");
      html.open(
          "span",
          "style",
          String.format(Locale.ROOT, "width:%.1f%%", 100.0 * row.moments() / most));
      html.close("span").close("td").close("tr");
    }
    endTable();
  }

  private void goal() {
    LimiterWork work = pass.limiter().orElseThrow();
    html.open("dl", "class", "figures");
    number("targetLufs", "goal", work.goal().targetLufs(), 1, " LUFS");
    number(
        "neededGainDb",
        "gain it needs",
        work.neededGainDb(),
        2,
        " dB, from " + Figures.fixed(work.measuredLufs(), 2) + " LUFS");
    number("goalLineDb", "goal line", work.goalLineDb(), 2, " " + unit() + " on the bus");
    number(
        "limiterDb",
        "limiter would take",
        work.dbAt(pass.peak()),
        2,
        " dB at the highest peak; it may take "
            + Figures.fixed(work.goal().allowanceDb(), 1)
            + ", with its ceiling at "
            + Figures.fixed(work.goal().ceilingDb(), 1)
            + " "
            + work.goal().ceilingMode().unit());
    report
        .marked()
        .ifPresent(
            marked ->
                number(
                    "limiterAfterDb",
                    marked.isPlan() ? "with the plan" : "with the marks",
                    Math.max(0, work.dbAt(marked.whatIf().peak())),
                    2,
                    " dB"));
    html.close("dl");
    if (work.goal().ceilingMode() != pass.settings().mode()) {
      html.element("p", "Read from samples; true peaks may ask more of the limiter.");
    }
  }

  private void moments() {
    List<Moment> all = pass.moments();
    if (all.isEmpty()) {
      html.element("p", "No moment stands out.");
      return;
    }
    List<String> heads = new ArrayList<>(List.of("rank", "time"));
    report
        .tempo()
        .ifPresent(t -> heads.add(report.isTempoEstimated() ? "bar|beat, about" : "bar|beat"));
    heads.addAll(List.of("peak", "excess, dB", "ms", "<kind"));
    pass.limiter().ifPresent(work -> heads.add("limiter, dB"));
    report.marked().ifPresent(marked -> heads.add("<afterwards"));
    heads.add("<what each stem adds, % of the peak");
    beginStack("Moments by excess", heads);
    for (Moment moment : all.subList(0, Math.min(MOST_MOMENTS, all.size()))) {
      moment(moment);
    }
    endStack();
    if (all.size() > MOST_MOMENTS) {
      html.element("p", "And " + (all.size() - MOST_MOMENTS) + " more, lower than these.");
    }
  }

  private void moment(Moment moment) {
    row("moment").text(String.valueOf(moment.rank())).close("th");
    cell("").text(time(moment.peakFrame())).close("td");
    report.tempo().ifPresent(t -> cell("").text(t.barsBeats(moment.peakFrame(), rate)).close("td"));
    cell("")
        .figure("levelDb", exact(Decibels.ofAmplitude(moment.peak())), Figures.db(moment.peak(), 2))
        .close("td");
    cell("")
        .figure("excessDb", exact(moment.excessDb()), Figures.fixed(moment.excessDb(), 2))
        .close("td");
    cell("").text(Figures.fixed(1000.0 * moment.longestRun() / rate, 2)).close("td");
    cell("words")
        .text(
            (moment.isLone() ? "lone" : "of " + moment.depth())
                + (moment.alike() > 1 ? ", x" + moment.alike() : "")
                + (moment.isLong() ? ", long" : ""))
        .close("td");
    pass.limiter()
        .ifPresent(
            work ->
                cell("").text(Figures.fixed(Math.max(0, work.dbAt(moment.peak())), 1)).close("td"));
    report.marked().ifPresent(marked -> cell("words").text(afterwards(marked, moment)).close("td"));
    cell("words");
    boolean first = true;
    for (Contribution c : moment.contributions()) {
      long percent = Math.round(100 * c.share());
      if (percent == 0) {
        continue;
      }
      html.text(first ? "" : ", ").name(report.name(c.stem())).text(" " + percent);
      first = false;
    }
    html.close("td").close("tr");
  }

  private static String afterwards(Marked marked, Moment moment) {
    return marked
        .whatIf()
        .highestAt(moment.peakFrame())
        .map(
            left ->
                left.peak() < moment.peak()
                    ? Figures.fixed(Decibels.ofAmplitude(moment.peak() / left.peak()), 2)
                        + " dB lower"
                    : "as it was")
        .orElse("calm");
  }

  private void stems() {
    boolean metered = pass.loudness().map(LoudnessSummary::stems).orElse(0) > 0;
    List<String> heads = new ArrayList<>(List.of("stem", "leads", "alone", "peak", "own average"));
    if (metered) {
      heads.addAll(List.of("LUFS", "true peak", "crest, dB"));
    }
    beginTable("Stems as they stand on the bus, " + unit(), heads);
    for (int k = 0; k < pass.stems().size(); k++) {
      StemFigures figures = pass.stems().get(k);
      html.open("tr", "class", "stem-row");
      html.open("th", "scope", "row").name(report.name(k)).close("th");
      html.element("td", String.valueOf(figures.moments()));
      html.element("td", String.valueOf(figures.loneMoments()));
      html.open("td")
          .figure(
              "stemPeakDb",
              exact(Decibels.ofAmplitude(figures.peak())),
              Figures.db(figures.peak(), 2))
          .close("td");
      html.element("td", Figures.db(figures.averagePeak().orElse(0), 2));
      if (metered) {
        LoudnessSummary loudness = pass.loudness().orElseThrow();
        OptionalDouble lufs = Loudness.of(loudness.stem(k)).integratedLufs();
        html.element("td", lufs.isPresent() ? Figures.fixed(lufs.getAsDouble(), 1) : "-");
        html.element("td", Figures.db(loudness.stemTruePeak(k), 2));
        double crest = loudness.stemCrestDb(k, figures.peak());
        html.element("td", Double.isNaN(crest) ? "-" : Figures.fixed(crest, 1));
      }
      html.close("tr");
    }
    endTable();
  }

  /**
   * A table whose rows become paragraphs where the page is narrow: so its cells say what they are,
   * and its parts keep the roles that they lose with their shape.
   */
  private void beginStack(String caption, List<String> heads) {
    labels = heads.stream().map(ReportPage::title).toList();
    html.open("table", "class", "stack", "role", "table").element("caption", caption);
    html.open("thead", "role", "rowgroup").open("tr", "role", "row");
    for (String head : heads) {
      html.element(
          "th",
          title(head),
          "scope",
          "col",
          "role",
          "columnheader",
          "class",
          isWords(head) ? "words" : "");
    }
    html.close("tr").close("thead").open("tbody", "role", "rowgroup");
  }

  /** Whether a column holds words: its head is written with a {@code <} before it. */
  private static boolean isWords(String head) {
    return head.startsWith("<");
  }

  private static String title(String head) {
    return isWords(head) ? head.substring(1) : head;
  }

  /** Begins a row of such a table, and its first cell. */
  private Html row(String name) {
    column = 0;
    html.open("tr", "class", name, "role", "row");
    return html.open("th", "scope", "row", "role", "rowheader", "data-label", labels.get(column++));
  }

  /** Begins the next cell. */
  private Html cell(String name) {
    return html.open("td", "role", "cell", "class", name, "data-label", labels.get(column++));
  }

  private void endStack() {
    html.close("tbody").close("table");
  }

  private void beginTable(String caption, List<String> heads) {
    html.open("div", "class", "wide", "role", "region", "tabindex", "0", "aria-label", caption);
    html.open("table").element("caption", caption).open("thead").open("tr");
    for (String head : heads) {
      if (head.isEmpty()) {
        html.open("td").close("td");
      } else if (isWords(head)) {
        html.element("th", title(head), "scope", "col", "class", "words");
      } else {
        html.element("th", head, "scope", "col");
      }
    }
    html.close("tr").close("thead").open("tbody");
  }

  private void endTable() {
    html.close("tbody").close("table").close("div");
  }

  private String time(long frame) {
    return ClockTime.of(frame, rate);
  }
}
