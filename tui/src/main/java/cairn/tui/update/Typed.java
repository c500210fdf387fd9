package cairn.tui.update;

import cairn.tui.model.Model;
import cairn.tui.model.Song;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** What engineers type: times, ranges, numbers. */
final class Typed {

  private static final Pattern TIME =
      Pattern.compile("(?:(\\d{1,4}):)?(\\d{1,6}(?:\\.\\d{1,9})?)\\s*s?");
  private static final Pattern RANGE = Pattern.compile("([\\d:.]+)\\s*-\\s*([\\d:.]+)");

  private Typed() {}

  static Optional<Double> number(String text) {
    String plain = text.strip();
    return plain.matches("[+-]?\\d{1,6}(\\.\\d{1,6})?")
        ? Optional.of(Double.valueOf(plain))
        : Optional.empty();
  }

  /** The nearest frame to a time such as 1:54, 1:54.25 or 114.25. */
  static OptionalLong frame(String text, int sampleRateHz) {
    Matcher form = TIME.matcher(text.strip());
    if (!form.matches()) {
      return OptionalLong.empty();
    }
    double seconds = Double.parseDouble(form.group(2));
    if (form.group(1) != null) {
      if (seconds >= 60) {
        return OptionalLong.empty();
      }
      seconds += 60.0 * Integer.parseInt(form.group(1));
    }
    return OptionalLong.of(Math.round(seconds * sampleRateHz));
  }

  /** A range of times, or the name of a section. */
  static Optional<Song.Section> section(String text, Model model) {
    for (Song.Section section : model.sections()) {
      if (section.name().equalsIgnoreCase(text.strip())) {
        return Optional.of(section);
      }
    }
    return range(text, model);
  }

  /** A range of times: 1:54-2:48; its name is the text. */
  static Optional<Song.Section> range(String text, Model model) {
    Matcher form = RANGE.matcher(text.strip());
    if (!form.matches() || model.song().isEmpty()) {
      return Optional.empty();
    }
    int rate = model.song().get().sampleRateHz();
    OptionalLong from = frame(form.group(1), rate);
    OptionalLong to = frame(form.group(2), rate);
    return from.isPresent() && to.isPresent() && from.getAsLong() < to.getAsLong()
        ? Optional.of(new Song.Section(text.strip(), from.getAsLong(), to.getAsLong()))
        : Optional.empty();
  }
}
