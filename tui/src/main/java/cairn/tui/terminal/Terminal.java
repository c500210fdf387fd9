package cairn.tui.terminal;

import cairn.tui.model.Event;
import cairn.tui.model.Look;
import cairn.tui.model.Size;
import java.io.Closeable;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Consumer;

/**
 * The user's terminal while the walk is on it. It is left as it was found: by {@link #close}, and
 * where the program is told to end, by a hook; what the user had on it is there again.
 */
public final class Terminal implements Screen, Closeable {

  private static final String ESC = "\u001B";

  /** The other screen, text that is pasted marked as such, the cursor shown. */
  private static final String ENTER = ESC + "[?1049h" + ESC + "[?2004h" + ESC + "[?25h";

  /** All of it back; a terminal without another screen is left empty. */
  private static final String LEAVE =
      ESC + "[?2026l" + ESC + "[?2004l" + ESC + "[0m" + ESC + "[H" + ESC + "[2J" + ESC + "[?1049l";

  /** Asks whether it can hold a picture back (DECRQM of private mode 2026). */
  private static final String ASK = ESC + "[?2026$p";

  /** A terminal whose line is stuck is not waited for longer, where the program must end. */
  private static final long MOST_LEAVE_MILLIS = 500;

  private final OutputStream screen;
  private final Consumer<Input> inputs;
  private final Stty stty;
  private final Painter painter;
  private final AtomicInteger resizes = new AtomicInteger();
  private final Thread hook = new Thread(this::leaveInTime, "cairn-leave");
  private volatile boolean synchronised;
  private boolean entered;

  private Terminal(OutputStream screen, Look look, Stty stty, Consumer<Input> inputs) {
    this.screen = screen;
    this.stty = stty;
    this.inputs = inputs;
    painter =
        new Painter(screen, look.unicode() ? StandardCharsets.UTF_8 : StandardCharsets.US_ASCII);
  }

  /**
   * Takes the terminal over and begins to read keys.
   *
   * @param keys what is typed
   * @param screen what is shown; not buffered, so that a repaint is one write
   * @param inputs takes keys, pastes and sizes, from several threads
   * @throws IOException if there is none that can be taken over
   */
  public static Terminal open(
      InputStream keys,
      OutputStream screen,
      Look look,
      Map<String, String> environment,
      Consumer<Input> inputs)
      throws IOException {
    return open(keys, screen, look, Stty.open(), Looks.mayBeAsked(environment), inputs);
  }

  /**
   * A terminal that nobody sees: what it takes to read keys and to show pictures is run, no
   * terminal is touched.
   */
  public static Terminal rehearse(InputStream keys, Size size, Look look, Consumer<Input> inputs)
      throws IOException {
    return open(keys, OutputStream.nullOutputStream(), look, Stty.rehearse(size), false, inputs);
  }

  private static Terminal open(
      InputStream keys,
      OutputStream screen,
      Look look,
      Stty stty,
      boolean asks,
      Consumer<Input> inputs)
      throws IOException {
    Terminal terminal = new Terminal(screen, look, stty, inputs);
    Runtime.getRuntime().addShutdownHook(terminal.hook);
    terminal.enter(asks);
    Signals.on("WINCH", terminal::resized);
    Signals.on("CONT", () -> inputs.accept(new Input.Continued()));
    new KeyReader(keys, inputs, () -> terminal.synchronised = true).start();
    return terminal;
  }

  /** The size that it had when it was opened. */
  public Size size() {
    return stty.firstSize();
  }

  private synchronized void enter(boolean asks) throws IOException {
    entered = true;
    write(ENTER + (asks ? ASK : ""));
    painter.forget();
  }

  private synchronized void write(String text) throws IOException {
    screen.write(text.getBytes(StandardCharsets.US_ASCII));
    screen.flush();
  }

  /** Several in a row, as while a window is dragged, are asked for one after the other. */
  private void resized() {
    if (resizes.getAndIncrement() > 0) {
      return;
    }
    int seen;
    do {
      seen = resizes.get();
      tellSize();
    } while (!resizes.compareAndSet(seen, 0));
  }

  private void tellSize() {
    try {
      Optional<Size> size = Stty.size();
      size.ifPresent(now -> inputs.accept(new Input.Told(new Event.Resized(now))));
    } catch (IOException e) {
      // The terminal is gone; whoever reads keys says so.
    }
  }

  @Override
  public int paint(Picture picture) throws IOException {
    synchronized (this) {
      return entered ? painter.paint(picture, synchronised) : 0;
    }
  }

  @Override
  public void forget() {
    synchronized (this) {
      painter.forget();
    }
    if (!Stty.isControlled()) {
      // No signal tells of a new size: a repaint asks for it.
      tellSize();
    }
  }

  @Override
  public void suspend() throws IOException {
    leave();
    try {
      // The whole job, so that the shell sees it stop; this process with it, until it goes on.
      new ProcessBuilder("/bin/sh", "-c", "kill -TSTP 0").start().waitFor();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    resume();
  }

  @Override
  public void resume() throws IOException {
    stty.keys();
    enter(false);
    tellSize();
  }

  private void leave() throws IOException {
    synchronized (this) {
      if (!entered) {
        return;
      }
      entered = false;
    }
    try {
      write(LEAVE);
    } finally {
      stty.restore();
    }
  }

  /** Leaves it even where its line is stuck: the settings are put back, the rest if it can be. */
  private void leaveInTime() {
    Thread leaving =
        new Thread(
            () -> {
              try {
                leave();
              } catch (IOException e) {
                // The terminal is gone.
              }
            },
            "cairn-leaving");
    leaving.setDaemon(true);
    leaving.start();
    try {
      leaving.join(MOST_LEAVE_MILLIS);
      if (leaving.isAlive()) {
        stty.restore();
      }
    } catch (IOException e) {
      // The terminal is gone.
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  @Override
  public void close() throws IOException {
    try {
      leave();
    } finally {
      try {
        Runtime.getRuntime().removeShutdownHook(hook);
      } catch (IllegalStateException e) {
        // The program ends already: the hook sees that all is left.
      }
    }
  }
}
