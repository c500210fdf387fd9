package cairn.io.listing;

import cairn.collisions.check.Finding;
import cairn.collisions.check.MomentInPrint;
import cairn.collisions.check.PrintComparison;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;

/**
 * What a check of stems found, for all forms that it is shown in.
 *
 * @param folder the folder, safe to show
 * @param stems names of the stems that could be summed, in session order
 * @param sampleRateHz their sample rate in Hz; 0 if there are none
 * @param frames their length in frames
 * @param findings what was found
 * @param print the bounced mix against the sum, where one was given and fits
 * @param moments the moments of the sum, looked up in it
 */
public record CheckReport(
    String folder,
    List<String> stems,
    int sampleRateHz,
    long frames,
    List<Finding> findings,
    Optional<PrintComparison> print,
    List<MomentInPrint> moments) {

  public CheckReport {
    Objects.requireNonNull(folder, "folder");
    Objects.requireNonNull(print, "print");
    stems = List.copyOf(stems);
    moments = List.copyOf(moments);
    List<Finding> ordered = new ArrayList<>(findings);
    ordered.sort(Finding.ORDER);
    findings = List.copyOf(ordered);
  }

  /** How many findings should be seen to before the hunt. */
  public long matter() {
    return findings.stream().filter(f -> f.weight().matters()).count();
  }
}
