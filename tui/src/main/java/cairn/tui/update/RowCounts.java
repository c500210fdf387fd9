package cairn.tui.update;

import cairn.tui.keys.KeyMap;
import cairn.tui.model.Model;
import cairn.tui.model.Screen;
import cairn.tui.model.Song;
import java.util.List;
import java.util.Locale;
import java.util.stream.IntStream;

/** How many rows the screens have. */
public final class RowCounts {

  private RowCounts() {}

  /** Rows of the screen in front. */
  public static int of(Model model) {
    return switch (model.screen()) {
      case WALK -> model.rows().size();
      case STEMS -> model.song().map(song -> song.stems().size()).orElse(0);
      case LADDER -> model.busNow().map(bus -> bus.ladder().rows().size()).orElse(0);
      case PLAN -> PlanRow.of(model).size() + PlanRow.open(model).size();
      case MARKS -> MarkRows.of(model).size();
      case EXPORT -> Exports.FORMATS.size();
      case HELP -> KeyMap.help(under(model), model.helpFilter()).size();
      case CHECK ->
          model.findings().map(List::size).orElse(0) + model.notes().size() + model.said().size();
      case SPECTRUM -> model.rows().size();
    };
  }

  /** The screen that the help is about. */
  public static Screen under(Model model) {
    return model.under().orElse(Screen.WALK);
  }

  /** The stems that the Stems screen shows: those whose name holds what it is narrowed to. */
  public static List<Integer> shownStems(Model model) {
    return holding(stems(model), model.stemsNarrowed());
  }

  /** Which names hold a text, in any case. */
  static List<Integer> holding(List<String> names, String text) {
    String wanted = text.toLowerCase(Locale.ROOT);
    return IntStream.range(0, names.size())
        .filter(k -> names.get(k).toLowerCase(Locale.ROOT).contains(wanted))
        .boxed()
        .toList();
  }

  /** Names of the stems; none while they are not read. */
  static List<String> stems(Model model) {
    return model.song().map(Song::stems).orElse(List.of());
  }
}
