package cairn.io.listing;

import cairn.collisions.Decibels;
import cairn.collisions.loudness.LimiterWork;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.PassComparison.Fate;
import cairn.collisions.plan.PassComparison.State;
import java.io.IOException;
import java.io.Writer;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;

/**
 * The list as CSV, a row a moment, RFC 4180: header row, CR LF, quotes where needed. Text fields
 * that a spreadsheet would take for a formula get an apostrophe in front.
 */
public final class ListingCsv {

  private ListingCsv() {}

  /** Writes the list and leaves the writer open. */
  public static void write(Listing listing, Writer out) throws IOException {
    boolean musical = listing.tempo().isPresent();
    int rate = listing.pass().session().sampleRateHz();
    Optional<LimiterWork> limiter = listing.pass().limiter();
    Csv.writeRow(out, header(musical, limiter.isPresent(), listing.since().isPresent()));
    for (Moment moment : listing.moments()) {
      List<Contribution> leading = moment.leading();
      List<Object> row = new ArrayList<>();
      row.add(moment.rank());
      row.add(Listing.kind(moment));
      row.add(moment.peakFrame());
      row.add(Figures.fixed(moment.seconds(rate), 6));
      if (musical) {
        row.add(listing.tempo().get().barsBeats(moment.peakFrame(), rate));
      }
      row.add(moment.channel());
      row.add(Figures.fixed(Decibels.ofAmplitude(moment.peak()), 4));
      row.add(Figures.fixed(moment.excessDb(), 4));
      limiter.ifPresent(work -> row.add(Figures.fixed(work.dbAt(moment.peak()), 4)));
      row.add(moment.firstOver());
      row.add(moment.lastOver());
      row.add(moment.overFrames());
      row.add(moment.longestRun());
      row.add(moment.depth());
      row.add(moment.isLong());
      row.add(
          Csv.guarded(
              leading.stream().map(c -> listing.name(c.stem())).collect(Collectors.joining("; "))));
      row.add(
          leading.stream().map(c -> Figures.fixed(c.share(), 6)).collect(Collectors.joining("; ")));
      listing.since().ifPresent(since -> addFate(row, since.fate(moment)));
      Csv.writeRow(out, row);
    }
    if (listing.since().isPresent()) {
      writeEarlier(listing, listing.since().get(), out);
    }
  }

  private static void addFate(List<Object> row, Optional<Fate> fate) {
    row.add(Since.code(fate.map(Fate::state).orElse(State.NEW)));
    row.add(fate.map(f -> Since.db(f.moment().peak())).orElse(""));
    row.add(fate.map(f -> Since.number(f.toldDb())).orElse(""));
    row.add(fate.map(f -> Since.number(OptionalDouble.of(f.gotDb()))).orElse(""));
  }

  /**
   * The earlier moments that none of the moments counts as: without a rank, at their frame in this
   * pass, with the level that is left there; what is not known of them now is empty.
   */
  private static void writeEarlier(Listing listing, Since since, Writer out) throws IOException {
    int rate = listing.pass().session().sampleRateHz();
    for (int i : since.withoutMoment().stream().limit(listing.top()).toList()) {
      Fate fate = since.comparison().fates().get(i);
      Since.Earlier earlier = since.earlier().get(i);
      long frame = fate.moment().peakFrame() + since.comparison().shiftFrames();
      List<Object> row = new ArrayList<>();
      row.add("");
      row.add(earlier.kind());
      row.add(frame);
      row.add(Figures.fixed((double) frame / rate, 6));
      if (listing.tempo().isPresent()) {
        row.add(listing.tempo().get().barsBeats(frame, rate));
      }
      row.add("");
      row.add(Since.db(fate.peakNow()));
      row.addAll(Collections.nCopies(listing.pass().limiter().isPresent() ? 8 : 7, ""));
      row.add(Csv.guarded(String.join("; ", earlier.stems())));
      row.add(
          earlier.shares().stream()
              .map(share -> Figures.fixed(share, 6))
              .collect(Collectors.joining("; ")));
      addFate(row, Optional.of(fate));
      Csv.writeRow(out, row);
    }
  }

  private static List<String> header(boolean musical, boolean limited, boolean since) {
    List<String> names = new ArrayList<>(List.of("rank", "kind", "frame", "seconds"));
    if (musical) {
      names.add("barsBeats");
    }
    names.addAll(List.of("channel", "levelDb", "excessDb"));
    if (limited) {
      names.add("limiterDb");
    }
    names.addAll(
        List.of(
            "firstOver",
            "lastOver",
            "overFrames",
            "longestRun",
            "depth",
            "long",
            "stems",
            "shares"));
    if (since) {
      names.addAll(List.of("state", "earlierDb", "toldDb", "gotDb"));
    }
    return names;
  }
}
