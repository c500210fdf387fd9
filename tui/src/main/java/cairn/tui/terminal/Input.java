package cairn.tui.terminal;

import cairn.tui.model.Event;

/** What the loop takes from its queue. */
public sealed interface Input {

  /**
   * Something for the model.
   *
   * @param event what happened
   */
  record Told(Event event) implements Input {}

  /** Ctrl-Z: to the shell, and back later. */
  record Suspend() implements Input {}

  /** The program was stopped and goes on: the terminal may have been used by another. */
  record Continued() implements Input {}

  /** There will be no more keys: the connection is cut, or the input has ended. */
  record HungUp() implements Input {}

  /** All is saved: the loop ends. */
  record Left() implements Input {}

  /**
   * Some thread has failed in a way that nobody foresaw: the loop ends with it.
   *
   * @param cause what failed
   */
  record Broken(Throwable cause) implements Input {}
}
