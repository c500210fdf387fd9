package cairn.tui.update;

import cairn.tui.model.Event;
import cairn.tui.model.Model;
import cairn.tui.model.Next;

/** What comes of an event. */
public final class Update {

  private Update() {}

  /** The model after an event, and what is to be done. */
  public static Next update(Model model, Event event) {
    Turn turn = new Turn(model);
    if (event instanceof Event.Pressed pressed) {
      Keys.pressed(turn, pressed.key());
    } else if (event instanceof Event.Pasted pasted) {
      Keys.pasted(turn, pasted);
    } else {
      Answers.take(turn, event);
    }
    return turn.next();
  }
}
