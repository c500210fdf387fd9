package cairn.io.listing;

import cairn.collisions.Decibels;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import java.io.IOException;
import java.io.Writer;
import java.util.ArrayList;
import java.util.List;
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
    Csv.writeRow(out, header(musical));
    for (Moment moment : listing.moments()) {
      List<Contribution> leading = moment.leading();
      List<Object> row = new ArrayList<>();
      row.add(moment.rank());
      row.add(Listing.kind(moment));
      row.add(moment.peakFrame());
      row.add(Figures.fixed((double) moment.peakFrame() / rate, 6));
      if (musical) {
        row.add(listing.tempo().get().barsBeats(moment.peakFrame(), rate));
      }
      row.add(moment.channel());
      row.add(Figures.fixed(Decibels.ofAmplitude(moment.peak()), 4));
      row.add(Figures.fixed(moment.excessDb(), 4));
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
      Csv.writeRow(out, row);
    }
  }

  private static List<String> header(boolean musical) {
    List<String> names = new ArrayList<>(List.of("rank", "kind", "frame", "seconds"));
    if (musical) {
      names.add("barsBeats");
    }
    names.addAll(
        List.of(
            "channel",
            "levelDb",
            "excessDb",
            "firstOver",
            "lastOver",
            "overFrames",
            "longestRun",
            "depth",
            "long",
            "stems",
            "shares"));
    return names;
  }
}
