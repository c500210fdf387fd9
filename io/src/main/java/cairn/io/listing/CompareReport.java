package cairn.io.listing;

import cairn.collisions.spectrum.Difference;
import cairn.collisions.spectrum.Portrait;
import java.util.Objects;

/**
 * Two sounds held against each other, for all forms that it is shown in.
 *
 * @param name what the first one is called, safe to show
 * @param otherName the same of the second one
 * @param isReference whether the second is a finished track, matched in loudness; else a session,
 *     matched in sample peak
 * @param here the first one
 * @param there the second one, as it is
 * @param gainDb gain that brings the second to the level of the first, dB
 * @param difference their spectra, with that gain
 */
public record CompareReport(
    String name,
    String otherName,
    boolean isReference,
    Portrait here,
    Portrait there,
    double gainDb,
    Difference difference) {

  public CompareReport {
    Objects.requireNonNull(name, "name");
    Objects.requireNonNull(otherName, "otherName");
    Objects.requireNonNull(here, "here");
    Objects.requireNonNull(there, "there");
    Objects.requireNonNull(difference, "difference");
  }
}
