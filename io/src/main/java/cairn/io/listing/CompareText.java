package cairn.io.listing;

import cairn.collisions.spectrum.Difference;
import cairn.collisions.spectrum.Portrait;
import cairn.collisions.spectrum.ThirdOctaves;
import cairn.collisions.time.ClockTime;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.stream.Collectors;

/** A comparison as a table for people. */
public final class CompareText {

  private CompareText() {}

  /** The figures, the bands, and the bands that are off. */
  public static List<String> lines(CompareReport report) {
    Portrait here = report.here();
    Portrait there = report.there();
    Table figures = new Table();
    figures.row(List.of("<", ">" + report.name(), ">" + report.otherName(), ">difference"));
    figures.row(
        List.of(
            "length",
            ClockTime.of(here.frames(), here.sampleRateHz()),
            ClockTime.of(there.frames(), there.sampleRateHz()),
            ""));
    figures.row(
        List.of(
            "sample rate",
            Figures.rate(here.sampleRateHz()),
            Figures.rate(there.sampleRateHz()),
            ""));
    figure(figures, "sample peak, dBFS", present(here.peakDb()), present(there.peakDb()));
    figure(figures, "loudness, LUFS", here.integratedLufs(), there.integratedLufs());
    figure(figures, "peak to loudness, dB", here.peakToLoudnessDb(), there.peakToLoudnessDb());
    figure(
        figures,
        "loudness at 0 dBFS peak, LUFS",
        minus(here.peakToLoudnessDb()),
        minus(there.peakToLoudnessDb()));
    List<String> lines = new ArrayList<>(figures.lines());
    lines.add("");
    lines.add(
        "spectrum in third-octave bands, dB; "
            + report.otherName()
            + " "
            + Figures.signed(report.gainDb(), 2)
            + " dB, so that both have one "
            + (report.isReference() ? "loudness" : "sample peak"));
    Table bands = new Table();
    bands.row(List.of(">band", ">" + report.name(), ">" + report.otherName(), ">difference", "<"));
    for (Difference.Band band : report.difference().bands()) {
      bands.row(
          List.of(
              ThirdOctaves.name(band.band()),
              level(band.hereDb()),
              level(band.thereDb()),
              band.isFaint() ? "-" : signed(band.db()),
              band.isNamed() ? "*" : ""));
    }
    lines.addAll(bands.lines());
    int last = report.difference().bands().size() - 1;
    int lower = Math.min(here.sampleRateHz(), there.sampleRateHz());
    if (last >= 0
        && ThirdOctaves.upperHz(report.difference().bands().get(last).band()) > lower / 2.0) {
      lines.add(
          "the band of "
              + ThirdOctaves.name(report.difference().bands().get(last).band())
              + " is cut at half of "
              + Figures.rate(lower));
    }
    lines.add("");
    lines.add(named(report));
    return lines;
  }

  private static String named(CompareReport report) {
    List<Difference.Band> named = report.difference().named();
    return named.isEmpty()
        ? "no band is off by 3 dB or more"
        : "off by 3 dB and more: "
            + named.stream().map(CompareText::words).collect(Collectors.joining(", "));
  }

  private static String words(Difference.Band band) {
    return ThirdOctaves.name(band.band())
        + " ("
        + (Double.isInfinite(band.db()) ? "all" : Figures.fixed(Math.abs(band.db()), 1) + " dB")
        + (band.db() > 0 ? " more)" : " less)");
  }

  private static void figure(Table table, String name, OptionalDouble here, OptionalDouble there) {
    table.row(
        List.of(
            name,
            number(here),
            number(there),
            here.isPresent() && there.isPresent()
                ? signed(here.getAsDouble() - there.getAsDouble())
                : "-"));
  }

  private static OptionalDouble present(double db) {
    return OptionalDouble.of(db);
  }

  private static OptionalDouble minus(OptionalDouble db) {
    return db.isPresent() ? OptionalDouble.of(-db.getAsDouble()) : db;
  }

  private static String number(OptionalDouble number) {
    return number.isPresent() ? Figures.fixed(number.getAsDouble(), 2) : "-";
  }

  private static String level(double db) {
    return Double.isInfinite(db) ? "-" : Figures.fixed(db, 2);
  }

  private static String signed(double db) {
    return Double.isFinite(db) ? Figures.signed(db, 2) : "-";
  }
}
