package cairn.io.listing;

import cairn.collisions.Decibels;
import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.StemFigures;
import cairn.collisions.TimeRange;
import cairn.collisions.fix.Attempt;
import cairn.collisions.fix.ToneCost;
import cairn.collisions.line.Baseline;
import cairn.collisions.line.Line;
import cairn.collisions.loudness.LimiterWork;
import cairn.collisions.loudness.Loudness;
import cairn.collisions.loudness.LoudnessSummary;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.PassComparison.Fate;
import cairn.collisions.plan.PassComparison.State;
import cairn.collisions.spectrum.ThirdOctaves;
import cairn.collisions.time.ClockTime;
import cairn.collisions.time.TempoEstimate;
import cairn.collisions.time.TempoMap;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.IntStream;

/** The list as an aligned table for people. */
public final class ListingTable {

  private final Listing listing;
  private final Pass pass;
  private final Session session;
  private final boolean fold;

  private ListingTable(Listing listing, boolean fold) {
    // What became of one moment need not be what became of those alike to it.
    this.fold = fold && listing.since().isEmpty();
    this.listing = listing;
    pass = listing.pass();
    session = pass.session();
  }

  /**
   * The lines of the table: head figures, moments, long moments, stems.
   *
   * @param fold whether moments that are alike share a row, that of the highest one shown
   */
  public static List<String> lines(Listing listing, boolean fold) {
    ListingTable table = new ListingTable(listing, fold);
    List<String> lines = new ArrayList<>(table.head());
    List<Moment> rows = table.rows();
    List<Moment> spikes = rows.stream().filter(m -> !m.isLong()).toList();
    List<Moment> longOnes = rows.stream().filter(Moment::isLong).toList();
    if (!spikes.isEmpty()) {
      lines.add("");
      lines.addAll(table.moments(spikes));
    }
    if (!longOnes.isEmpty()) {
      lines.add("");
      lines.add("Over for more than 100 ms: level, not a spike; ride it at the desk.");
      lines.addAll(table.moments(longOnes));
    }
    if (listing.since().isPresent()) {
      lines.addAll(table.earlier(listing.since().get()));
    }
    if (!listing.pass().moments().isEmpty()) {
      lines.add("");
      lines.addAll(table.stems());
    }
    return lines;
  }

  /** The moments that get a row: all, or of those that are alike the highest one shown. */
  private List<Moment> rows() {
    Set<Integer> heads = new HashSet<>();
    return listing.moments().stream().filter(m -> !fold || heads.add(m.alikeTo())).toList();
  }

  private List<String> head() {
    List<String> lines = new ArrayList<>();
    lines.add(
        Figures.count(session.stems().size(), "stem")
            + ", "
            + Figures.rate(session.sampleRateHz())
            + ", "
            + time(session.frames())
            + rangeText()
            + ", "
            + faderText());
    lines.add(
        String.format(
            Locale.ROOT,
            "bus peak      %6s %s at %s",
            Figures.db(pass.peak(), 2),
            unit(),
            time(pass.summary().peakFrame())));
    lines.add(
        String.format(
            Locale.ROOT,
            "average peak  %6s %s %s",
            Figures.db(pass.line().averagePeak().overall(), 2),
            unit(),
            baselineText()));
    listing
        .tempo()
        .filter(TempoMap::isEstimate)
        .ifPresent(map -> lines.add("tempo         " + TempoEstimate.words(map)));
    lines.addAll(LoudnessLines.ofBus(pass));
    lines.addAll(LoudnessLines.ofGoal(pass));
    lines.add("line          " + lineText());
    lines.add("over it       " + countText());
    listing
        .since()
        .ifPresent(
            since -> {
              lines.add("since         " + since.headLine(unit()));
              lines.addAll(
                  since.stemLines(
                      (what, text) -> String.format(Locale.ROOT, "%-14s%s", what, text)));
            });
    return lines;
  }

  private String unit() {
    return pass.settings().mode().unit();
  }

  private String rangeText() {
    TimeRange range = pass.range();
    return range.frames() == session.frames()
        ? ""
        : ", from " + time(range.firstFrame()) + " to " + time(range.endFrame());
  }

  private String faderText() {
    List<String> parts = new ArrayList<>();
    for (int k = 0; k < session.faders().size(); k++) {
      Fader fader = session.faders().get(k);
      List<String> changes = new ArrayList<>();
      if (fader.gainDb() != 0) {
        changes.add(Figures.signed(fader.gainDb(), 1) + " dB");
      }
      if (fader.reversed()) {
        changes.add("polarity reversed");
      }
      if (fader.offset() != 0) {
        changes.add(
            Figures.count(Math.abs(fader.offset()), "sample")
                + (fader.offset() > 0 ? " later" : " earlier"));
      }
      if (fader.muted()) {
        changes.add("muted");
      }
      if (fader.soloed()) {
        changes.add("soloed");
      }
      if (!changes.isEmpty()) {
        parts.add(listing.name(k) + " " + String.join(", ", changes));
      }
    }
    if (session.monoGainDb() != 0) {
      parts.add("mono stems " + Figures.signed(session.monoGainDb(), 1) + " dB");
    }
    return parts.isEmpty() ? "summed as they are" : "summed with " + String.join("; ", parts);
  }

  private String baselineText() {
    TimeRange loud = pass.line().loudPart();
    return switch (pass.settings().baseline()) {
      case LOUD ->
          (pass.settings().section().isPresent() ? "of the section " : "of the loud part ")
              + time(loud.firstFrame())
              + " to "
              + time(loud.endFrame());
      case SONG -> "of the whole song";
      case LOCAL -> "of the whole song; each place is held against the 33 windows about it";
    };
  }

  private String lineText() {
    if (pass.settings().goalDrawsLine()) {
      return String.format(
          Locale.ROOT, "%6s %s, the goal line", Figures.db(pass.line().level(0), 2), unit());
    }
    if (pass.settings().line() instanceof Line.Margin margin) {
      String above = Figures.plain(margin.marginDb()) + " dB above the average peak";
      return pass.settings().baseline() == Baseline.LOCAL
          ? above + " of its place"
          : String.format(
              Locale.ROOT, "%6s %s, %s", Figures.db(pass.line().level(0), 2), unit(), above);
    }
    String how = pass.settings().line() instanceof Line.Held ? "held" : "as given";
    return String.format(
        Locale.ROOT, "%6s %s, %s", Figures.db(pass.line().level(0), 2), unit(), how);
  }

  private String countText() {
    List<Moment> all = pass.moments();
    if (all.isEmpty()) {
      return "nothing: no moment stands out";
    }
    long lone = all.stream().filter(Moment::isLone).count();
    String text =
        Figures.count(all.size(), "moment")
            + ", "
            + all.stream().filter(Moment::isHead).count()
            + " of a kind of their own: "
            + Figures.count(all.size() - lone, "collision")
            + ", "
            + Figures.count(lone, "lone peak");
    return listing.moments().size() == all.size()
        ? text
        : text + "; " + listing.moments().size() + " shown";
  }

  private List<String> moments(List<Moment> moments) {
    Table table = new Table();
    List<String> header = new ArrayList<>(List.of(">rank", ">time"));
    if (listing.tempo().isPresent()) {
      header.add(">bar|beat");
    }
    // Narrow, so that on a terminal of 80 columns the stems are not what is cut off.
    header.addAll(List.of(">excess", ">ms", ">like", "<collision"));
    listing
        .since()
        .ifPresent(
            since -> {
              header.add(">peak");
              addFateHeader(header, since);
            });
    if (pass.limiter().isPresent()) {
      header.add("<limiter");
    }
    if (listing.fixes().isPresent()) {
      header.add("<gentlest fix");
    }
    header.add("<leading stems, % of the peak" + (listing.bands().isPresent() ? ", band" : ""));
    table.row(header);
    for (Moment moment : moments) {
      List<String> row = new ArrayList<>();
      row.add(String.valueOf(moment.rank()));
      row.add(time(moment.peakFrame()));
      listing
          .tempo()
          .ifPresent(t -> row.add(t.barsBeats(moment.peakFrame(), session.sampleRateHz())));
      row.add(Figures.signed(moment.excessDb(), 2));
      row.add(Figures.fixed(1000.0 * moment.longestRun() / session.sampleRateHz(), 2));
      row.add(moment.alike() > 1 ? "x" + moment.alike() : "");
      row.add(moment.isLone() ? "lone" : "of " + moment.depth());
      listing
          .since()
          .ifPresent(
              since -> {
                row.add(Figures.db(moment.peak(), 2));
                addFate(row, since, since.fate(moment));
              });
      pass.limiter().ifPresent(work -> row.add(limiter(work, moment)));
      if (listing.fixes().isPresent()) {
        row.add(gentlest(moment));
      }
      row.add(leading(moment));
      table.row(row);
    }
    return table.lines();
  }

  private static void addFateHeader(List<String> header, Since since) {
    header.addAll(List.of("<state", ">was"));
    if (since.isTold()) {
      header.add(">told");
    }
    header.add(">got");
  }

  private static void addFate(List<String> row, Since since, Optional<Fate> fate) {
    row.add(Since.words(fate.map(Fate::state).orElse(State.NEW)));
    row.add(fate.map(f -> Figures.db(f.moment().peak(), 2)).orElse(""));
    if (since.isTold()) {
      row.add(fate.map(f -> Since.fell(f.toldDb())).orElse(""));
    }
    row.add(fate.map(f -> Since.fell(OptionalDouble.of(f.gotDb()))).orElse(""));
  }

  /** The earlier moments that none of the moments counts as, at their time in this pass. */
  private List<String> earlier(Since since) {
    List<Integer> places = since.withoutMoment().stream().limit(listing.top()).toList();
    if (places.isEmpty()) {
      return List.of();
    }
    Table table = new Table();
    List<String> header = new ArrayList<>(List.of(">time"));
    if (listing.tempo().isPresent()) {
      header.add(">bar|beat|tick");
    }
    header.add(">now");
    addFateHeader(header, since);
    header.addAll(List.of("<kind", "<leading stems then, share of the peak"));
    table.row(header);
    for (int i : places) {
      Fate fate = since.comparison().fates().get(i);
      Since.Earlier was = since.earlier().get(i);
      long frame = fate.moment().peakFrame() + since.comparison().shiftFrames();
      List<String> row = new ArrayList<>(List.of(time(Math.max(0, frame))));
      listing.tempo().ifPresent(t -> row.add(t.barsBeats(frame, session.sampleRateHz())));
      row.add(Figures.db(fate.peakNow(), 2));
      addFate(row, since, Optional.of(fate));
      row.add(was.kind());
      row.add(
          IntStream.range(0, was.stems().size())
              .mapToObj(
                  k -> was.stems().get(k) + " " + Math.round(was.shares().get(k) * 100) + " %")
              .collect(Collectors.joining(", ")));
      table.row(row);
    }
    List<String> lines = new ArrayList<>(List.of("", "No moment of their own any more:"));
    lines.addAll(table.lines());
    return lines;
  }

  /** What a limiter would take there; within what it may, nothing need be done. */
  private static String limiter(LimiterWork work, Moment moment) {
    return String.format(Locale.ROOT, "%5s", LoudnessLines.work(work, moment.peak()))
        + (work.allows(moment.peak()) ? ", leave it" : "");
  }

  private String gentlest(Moment moment) {
    return listing
        .fixesOf(moment)
        .gentlest()
        .map(
            attempt ->
                listing.name(attempt.fix().stem())
                    + " "
                    + FixWords.of(attempt.fix(), session.sampleRateHz())
                    + (attempt.cleared() ? "" : ", leaves " + leaves(moment, attempt) + " dB")
                    + dear(listing.fixesOf(moment).toneCostsDb().get(attempt.fix())))
        .orElse(moment.isLong() ? "none: level, not a spike" : "none");
  }

  private static String dear(double toneCostDb) {
    return toneCostDb > ToneCost.DEAR_OVER_DB
        ? ", dear: tone " + Figures.fixed(toneCostDb, 1) + " dB"
        : "";
  }

  private static String leaves(Moment moment, Attempt attempt) {
    return Figures.fixed(Decibels.ofAmplitude(attempt.leftLevel() / moment.line()), 2);
  }

  private String leading(Moment moment) {
    List<Contribution> leading = moment.leading();
    if (leading.isEmpty()) {
      return "none leads: " + Figures.count(moment.depth(), "stem") + " of less than 10 % each";
    }
    List<String> parts = new ArrayList<>();
    for (int i = 0; i < leading.size(); i++) {
      Contribution c = leading.get(i);
      parts.add(listing.name(c.stem()) + " " + Math.round(c.share() * 100) + band(moment, i));
    }
    return String.join(", ", parts);
  }

  /** Where most of a leading stem sits; nothing where it was not asked for. */
  private String band(Moment moment, int place) {
    int band = listing.bands().map(b -> b.strongest(listing.placeOf(moment), place)).orElse(-1);
    return band < 0 ? "" : " at " + ThirdOctaves.name(band);
  }

  private List<String> stems() {
    List<StemFigures> figures = pass.stems();
    List<Integer> order =
        IntStream.range(0, figures.size())
            .boxed()
            .filter(k -> figures.get(k).moments() > 0)
            .sorted(Comparator.comparingInt((Integer k) -> figures.get(k).moments()).reversed())
            .toList();
    if (order.isEmpty()) {
      return List.of("No stem leads a moment.");
    }
    Table table = new Table();
    boolean metered = pass.loudness().map(LoudnessSummary::stems).orElse(0) > 0;
    List<String> header = new ArrayList<>(List.of("<stem", ">leads", ">alone", ">peak"));
    header.add(">own average");
    if (metered) {
      header.addAll(List.of(">LUFS", ">true peak", ">crest"));
    }
    table.row(header);
    for (int k : order) {
      StemFigures stem = figures.get(k);
      List<String> row = new ArrayList<>();
      row.add(listing.name(k));
      row.add(String.valueOf(stem.moments()));
      row.add(String.valueOf(stem.loneMoments()));
      row.add(Figures.db(stem.peak(), 2));
      row.add(Figures.db(stem.averagePeak().orElse(0), 2));
      if (metered) {
        LoudnessSummary loudness = pass.loudness().orElseThrow();
        row.add(LoudnessLines.plain(Loudness.of(loudness.stem(k)).integratedLufs(), 1));
        row.add(Figures.db(loudness.stemTruePeak(k), 2));
        row.add(Figures.fixed(loudness.stemCrestDb(k, stem.peak()), 1));
      }
      table.row(row);
    }
    return table.lines();
  }

  private String time(long frame) {
    return ClockTime.of(frame, session.sampleRateHz());
  }
}
