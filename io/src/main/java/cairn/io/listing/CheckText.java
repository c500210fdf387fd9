package cairn.io.listing;

import cairn.collisions.check.Finding;
import cairn.collisions.check.MomentInPrint;
import cairn.collisions.check.PrintComparison;
import cairn.collisions.time.ClockTime;
import java.util.ArrayList;
import java.util.List;

/** A check as text for people: the findings, or a letter to whoever sent the stems. */
public final class CheckText {

  private static final int MOST_LOWERED = 12;

  private CheckText() {}

  /** The findings, the heaviest first, each with what to do. */
  public static List<String> lines(CheckReport report) {
    List<String> lines = new ArrayList<>();
    if (report.stems().isEmpty()) {
      lines.add("no stem can be summed");
    } else {
      lines.add(
          Figures.count(report.stems().size(), "stem")
              + ", "
              + Figures.rate(report.sampleRateHz())
              + ", "
              + ClockTime.of(report.frames(), report.sampleRateHz())
              + ", checked");
    }
    long matter = report.matter();
    long minor = report.findings().size() - matter;
    lines.add(
        matter == 0
            ? "nothing that matters was found"
                + (minor == 0 ? "" : "; " + minor + " to know")
                + ": the hunt can begin"
            : Figures.count(matter, "finding")
                + (matter == 1 ? " that matters" : " that matter")
                + (minor == 0 ? "" : ", " + minor + " to know"));
    for (Finding finding : report.findings()) {
      lines.add("");
      lines.add(finding.weight().words() + ": " + finding.what());
      if (!finding.where().isEmpty()) {
        lines.add("  where: " + finding.where());
      }
      lines.add("  to do: " + finding.whatToDo());
    }
    report.print().ifPresent(print -> print(report, print, lines));
    return lines;
  }

  private static void print(CheckReport report, PrintComparison print, List<String> lines) {
    lines.add("");
    lines.add(
        "null test: the sum taken away from the mix leaves "
            + rest(print.residualDb())
            + (print.differing().isEmpty()
                ? ""
                : ", with the stems named above at their own level " + rest(print.restDb())));
    List<MomentInPrint> moments = report.moments();
    if (moments.isEmpty()) {
      return;
    }
    long seen = moments.stream().filter(MomentInPrint::isSeen).count();
    lines.add(
        "of "
            + Figures.count(moments.size(), "moment")
            + " over the line of the sum, "
            + seen
            + " can be seen in the mix too");
    List<MomentInPrint> lowered = moments.stream().filter(m -> !m.isSeen()).toList();
    for (MomentInPrint each : lowered.subList(0, Math.min(MOST_LOWERED, lowered.size()))) {
      lines.add(
          "  "
              + ClockTime.of(each.moment().peakFrame(), report.sampleRateHz())
              + " is "
              + Figures.fixed(-each.levelDb(), 1)
              + " dB lower there");
    }
    if (lowered.size() > MOST_LOWERED) {
      lines.add("  and " + (lowered.size() - MOST_LOWERED) + " more");
    }
  }

  private static String rest(double db) {
    return Double.isInfinite(db) ? "nothing" : Figures.fixed(db, 1) + " dB of it";
  }

  /** A letter about what only whoever sent the stems can mend. */
  public static List<String> letter(CheckReport report) {
    List<Finding> ask =
        report.findings().stream().filter(f -> !f.kind().request().isEmpty()).toList();
    List<String> lines = new ArrayList<>();
    lines.add("Hello,");
    lines.add("");
    if (ask.isEmpty()) {
      lines.add("thank you for the stems. They are all there and fit together; nothing is needed.");
    } else {
      lines.add(
          "thank you for the stems. Before I start, "
              + (ask.size() == 1 ? "one thing" : "some things")
              + " that I noticed, and what would help me:");
      lines.add("");
      for (Finding finding : ask) {
        lines.add(
            "- "
                + finding.what()
                + (finding.where().isEmpty() || finding.what().contains(finding.where())
                    ? ""
                    : " (" + finding.where() + ")")
                + ": "
                + finding.kind().request()
                + ".");
      }
      lines.add("");
      lines.add("If any of it is meant to be so, a short word is enough.");
    }
    lines.add("");
    lines.add("Many thanks, and kind regards");
    return lines;
  }
}
