package cairn.tui.view;

import cairn.collisions.Decibels;
import cairn.collisions.time.ClockTime;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.tui.model.Model;
import java.util.List;

/** Figures and names as the screens show them. */
final class Words {

  private Words() {}

  /** A level in dB of a linear one. */
  static String level(double linear) {
    return Figures.db(linear, 2);
  }

  static String level1(double linear) {
    return linear > 0 ? Figures.fixed(Decibels.ofAmplitude(linear), 1) : "-";
  }

  static String millis(long frames, int sampleRateHz) {
    return millis((double) frames, sampleRateHz);
  }

  static String millis(double frames, int sampleRateHz) {
    double millis = 1000.0 * frames / sampleRateHz;
    return millis >= 9.95
        ? String.valueOf(Math.round(millis))
        : Figures.fixed(millis, millis < 0.995 ? 2 : 1);
  }

  static String time(long frame, int sampleRateHz) {
    return ClockTime.of(frame, sampleRateHz);
  }

  /** m:ss of a number of frames. */
  static String length(long frames, int sampleRateHz) {
    long seconds = frames / sampleRateHz;
    return seconds / 60 + ":" + (seconds % 60 < 10 ? "0" : "") + seconds % 60;
  }

  static String stem(Model model, int k) {
    return model.song().map(song -> shortNames(song.stems()).get(k)).orElse("");
  }

  /** The names without what all of them begin with, up to the last word's start. */
  static List<String> shortNames(List<String> names) {
    if (names.size() < 2) {
      return names;
    }
    int common = names.get(0).length();
    for (String name : names) {
      int same = 0;
      while (same < common
          && same < name.length()
          && name.charAt(same) == names.get(0).charAt(same)) {
        same++;
      }
      common = same;
    }
    int cut = common;
    while (cut > 0 && " _-./".indexOf(names.get(0).charAt(cut - 1)) < 0) {
      cut--;
    }
    int from = cut;
    return names.stream().anyMatch(n -> n.length() <= from)
        ? names
        : names.stream().map(n -> n.substring(from)).toList();
  }

  static String cut(String safe, int cells, Glyphs glyphs) {
    return cells <= 0 ? "" : SafeText.cut(safe, cells, glyphs.ellipsis());
  }
}
