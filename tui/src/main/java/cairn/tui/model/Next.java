package cairn.tui.model;

import java.util.List;

/**
 * What comes of an event.
 *
 * @param model the model from now on
 * @param effects what is to be done, in this order
 */
public record Next(Model model, List<Effect> effects) {
  public Next {
    effects = List.copyOf(effects);
  }

  /** Nothing is to be done. */
  public static Next of(Model model) {
    return new Next(model, List.of());
  }
}
