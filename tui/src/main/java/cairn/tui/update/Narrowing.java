package cairn.tui.update;

import cairn.collisions.moment.Moment;
import cairn.tui.model.Model;
import cairn.tui.model.Row;
import cairn.tui.model.Song;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Predicate;

/**
 * What the list is narrowed to: part of a stem's name, {@code !}, {@code >4}, {@code lone}, a time
 * range or section.
 */
final class Narrowing {

  private final Predicate<Row> test;

  private Narrowing(Predicate<Row> test) {
    this.test = test;
  }

  boolean shows(Row row) {
    return test.test(row);
  }

  static Narrowing of(String typed, Model model) {
    String text = typed.strip();
    if (text.isEmpty() || model.song().isEmpty()) {
      return new Narrowing(row -> true);
    }
    Song song = model.song().get();
    if (text.equals("!")) {
      return new Narrowing(row -> row.state().isOpen());
    }
    if (text.equals("lone")) {
      return new Narrowing(row -> row.head().isLone());
    }
    if (text.startsWith(">")) {
      Optional<Double> above = Typed.number(text.substring(1));
      if (above.isPresent()) {
        return new Narrowing(row -> row.head().excessDb() > above.get());
      }
    }
    Optional<Song.Section> range = Typed.section(text, model);
    if (range.isPresent()) {
      return new Narrowing(row -> row.places().stream().anyMatch(m -> lies(m, range.get())));
    }
    String wanted = text.toLowerCase(Locale.ROOT);
    return new Narrowing(
        row -> {
          for (int k = 0; k < song.stems().size(); k++) {
            if (song.stems().get(k).toLowerCase(Locale.ROOT).contains(wanted)
                && Rows.takesPart(row.head(), k)) {
              return true;
            }
          }
          return false;
        });
  }

  private static boolean lies(Moment moment, Song.Section in) {
    return moment.peakFrame() >= in.firstFrame() && moment.peakFrame() < in.endFrame();
  }
}
