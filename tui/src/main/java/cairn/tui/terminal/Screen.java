package cairn.tui.terminal;

import java.io.IOException;

/** Where the loop shows its pictures. */
public interface Screen {

  /**
   * Shows a picture.
   *
   * @return bytes sent
   */
  int paint(Picture picture) throws IOException;

  /** Sends every cell at the next repaint. */
  void forget();

  /** Gives the terminal back, stops the program until it is told to go on, and takes it again. */
  void suspend() throws IOException;

  /** Takes the terminal again, after it may have been used by another. */
  void resume() throws IOException;
}
