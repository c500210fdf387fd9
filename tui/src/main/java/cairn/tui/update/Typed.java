package cairn.tui.update;

import cairn.collisions.time.TempoMap;
import cairn.tui.model.Model;
import cairn.tui.model.Song;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** What engineers type: times, ranges, numbers. */
final class Typed {

  private static final Pattern TIME =
      Pattern.compile("(?:(\\d{1,4}):)?(\\d{1,6}(?:\\.\\d{1,9})?)\\s*s?");
  private static final Pattern BAR =
      Pattern.compile("(?:bar\\s*)?(\\d{1,5})(?:\\|([1-9]\\d?))?(?:\\|\\d{1,3})?");
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

  /** The frame of a time, or of a bar: {@code bar 12}, {@code 12|3}. */
  static OptionalLong place(String text, Song song) {
    String plain = text.strip().toLowerCase(Locale.ROOT);
    if (!plain.startsWith("bar") && plain.indexOf('|') < 0) {
      return frame(plain, song.sampleRateHz());
    }
    Matcher form = BAR.matcher(plain);
    if (!form.matches() || song.tempo().isEmpty()) {
      return OptionalLong.empty();
    }
    long bar = Long.parseLong(form.group(1)) - 1;
    int beat = form.group(2) == null ? 0 : Integer.parseInt(form.group(2)) - 1;
    double seconds = song.tempo().get().secondsAt(quarter(song.tempo().get(), bar, beat));
    return OptionalLong.of(Math.max(0, Math.round(seconds * song.sampleRateHz())));
  }

  /** Where a bar's beat lies, in quarter notes; both count from 0, a new meter begins a bar. */
  private static double quarter(TempoMap tempo, long bar, int beat) {
    List<TempoMap.Meter> meters = tempo.meters();
    long before = 0;
    int j = 0;
    while (j + 1 < meters.size()) {
      TempoMap.Meter meter = meters.get(j);
      double bars = (meters.get(j + 1).quarter() - meter.quarter()) / meter.barQuarters();
      // A bar that the next meter cuts short counts as one; the least of rounding does not.
      long whole = (long) Math.ceil(bars - 1e-7);
      if (bar < before + whole) {
        break;
      }
      before += whole;
      j++;
    }
    TempoMap.Meter meter = meters.get(j);
    return meter.quarter() + (bar - before) * meter.barQuarters() + beat * meter.beatQuarters();
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
