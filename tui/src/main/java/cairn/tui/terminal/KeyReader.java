package cairn.tui.terminal;

import cairn.tui.model.Event;
import cairn.tui.model.KeyPress;
import cairn.tui.model.KeyPress.Name;
import com.googlecode.lanterna.input.DefaultKeyDecodingProfile;
import com.googlecode.lanterna.input.InputDecoder;
import com.googlecode.lanterna.input.KeyStroke;
import com.googlecode.lanterna.input.KeyType;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;

/**
 * Turns what the terminal sends into key presses, in order. Text that is pasted (between {@code
 * ESC[200~} and {@code ESC[201~}) is handed on as text, never as keys. A sequence that no key has,
 * such as an answer of the terminal's, is passed over whole. Alt with a key of one byte is sent as
 * an Escape and the key, as is Escape with such a key soon after it, at once where tmux stands
 * between: no key has Alt, so that it is read as the two keys. But {@code ESC[} and {@code ESC O}
 * with nothing after them are what is left of a sequence that was torn apart, and no key at all.
 */
final class KeyReader {

  /**
   * Longest wait for the rest of a sequence, in the decoder's units of 250 ms. A lone Escape takes
   * as long.
   */
  private static final int WAIT_UNITS = 1;

  /** Most characters of a paste that are kept; no field takes as many. */
  private static final int MOST_PASTED = 65_536;

  private final InputDecoder decoder;
  private final Consumer<Input> inputs;
  private final Runnable onSynchronised;
  private char highSurrogate;

  /**
   * @param keys what the terminal sends, UTF-8
   * @param inputs is given each key; called from one thread
   * @param onSynchronised is told if the terminal answers that it can hold a picture back
   */
  KeyReader(InputStream keys, Consumer<Input> inputs, Runnable onSynchronised) {
    this.inputs = inputs;
    this.onSynchronised = onSynchronised;
    decoder = new InputDecoder(new InputStreamReader(keys, StandardCharsets.UTF_8));
    decoder.setTimeoutUnits(WAIT_UNITS);
    // The last pattern that fits wins: what is known after what is not.
    decoder.addProfile(() -> List.of(new Sequence()));
    decoder.addProfile(new DefaultKeyDecodingProfile());
    decoder.addProfile(Sequence.Paste::patterns);
  }

  /** Reads keys on a thread of its own that does not keep the program alive. */
  void start() {
    Thread thread = new Thread(this::run, "cairn-keys");
    thread.setDaemon(true);
    thread.start();
  }

  /** Reads keys until there are no more. */
  void run() {
    try {
      while (step()) {}
    } catch (IOException e) {
      // The terminal is gone: the same as the end of input.
      inputs.accept(new Input.HungUp());
    } catch (RuntimeException | Error e) {
      inputs.accept(new Input.Broken(e));
    }
  }

  private boolean step() throws IOException {
    KeyStroke stroke = decoder.getNextCharacter(true);
    if (stroke == null) {
      return true;
    }
    if (stroke.getKeyType() == KeyType.EOF) {
      inputs.accept(new Input.HungUp());
      return false;
    }
    if (stroke instanceof Sequence.Unknown unknown) {
      if (unknown.text().equals("[?2026;1$y") || unknown.text().equals("[?2026;2$y")) {
        onSynchronised.run();
      }
    } else if (stroke instanceof Sequence.Paste paste) {
      return !paste.begins() || paste();
    } else if (isTorn(stroke)) {
      press(KeyPress.of(Name.OTHER));
    } else {
      boolean isOneByte =
          stroke.getKeyType() == KeyType.Character || stroke.getKeyType() == KeyType.Backspace;
      if (stroke.isAltDown() && isOneByte) {
        press(KeyPress.of(Name.ESCAPE));
      }
      if (isCtrl(stroke, 'z')) {
        inputs.accept(new Input.Suspend());
      } else {
        key(stroke).ifPresent(this::press);
      }
    }
    return true;
  }

  /** Whether it is the beginning of a sequence whose rest did not come in time. */
  private static boolean isTorn(KeyStroke stroke) {
    return stroke.getKeyType() == KeyType.Character
        && stroke.isAltDown()
        && !stroke.isCtrlDown()
        && (stroke.getCharacter() == '[' || stroke.getCharacter() == 'O');
  }

  private void press(KeyPress key) {
    inputs.accept(new Input.Told(new Event.Pressed(key)));
  }

  /** Takes in a paste up to its end; Ctrl-C ends one whose end was lost. */
  private boolean paste() throws IOException {
    StringBuilder text = new StringBuilder();
    while (true) {
      KeyStroke stroke = decoder.getNextCharacter(true);
      if (stroke == null) {
        continue;
      }
      if (stroke.getKeyType() == KeyType.EOF) {
        inputs.accept(new Input.HungUp());
        return false;
      }
      boolean isEnd = stroke instanceof Sequence.Paste paste && !paste.begins();
      if (isEnd || isCtrl(stroke, 'c')) {
        inputs.accept(new Input.Told(new Event.Pasted(text.toString())));
        if (!isEnd) {
          press(KeyPress.of(Name.CTRL_C));
        }
        return true;
      }
      if (text.length() < MOST_PASTED) {
        switch (stroke.getKeyType()) {
          case Character -> text.append(stroke.isCtrlDown() ? "" : stroke.getCharacter());
          case Enter -> text.append('\n');
          case Tab -> text.append('\t');
          default -> {}
        }
      }
    }
  }

  private static boolean isCtrl(KeyStroke stroke, char letter) {
    return stroke.getKeyType() == KeyType.Character
        && stroke.isCtrlDown()
        && stroke.getCharacter() == letter;
  }

  /** Empty: the first half of a character, or nothing that was pressed. */
  private Optional<KeyPress> key(KeyStroke stroke) {
    return switch (stroke.getKeyType()) {
      case Character -> character(stroke);
      case Escape -> Optional.of(KeyPress.of(Name.ESCAPE));
      case Enter -> Optional.of(KeyPress.of(Name.ENTER));
      case Backspace -> Optional.of(KeyPress.of(Name.BACKSPACE));
      case Delete -> Optional.of(KeyPress.of(Name.DELETE));
      case Tab -> Optional.of(KeyPress.of(Name.TAB));
      case ReverseTab -> Optional.of(KeyPress.of(Name.SHIFT_TAB));
      case ArrowUp -> Optional.of(KeyPress.of(Name.UP));
      case ArrowDown -> Optional.of(KeyPress.of(Name.DOWN));
      case ArrowLeft -> Optional.of(KeyPress.of(Name.LEFT));
      case ArrowRight -> Optional.of(KeyPress.of(Name.RIGHT));
      case PageUp -> Optional.of(KeyPress.of(Name.PAGE_UP));
      case PageDown -> Optional.of(KeyPress.of(Name.PAGE_DOWN));
      case Home -> Optional.of(KeyPress.of(Name.HOME));
      case End -> Optional.of(KeyPress.of(Name.END));
      case CursorLocation, MouseEvent -> Optional.empty();
      default -> Optional.of(KeyPress.of(Name.OTHER));
    };
  }

  private Optional<KeyPress> character(KeyStroke stroke) {
    char typed = stroke.getCharacter();
    if (stroke.isCtrlDown()) {
      return Optional.of(
          KeyPress.of(
              switch (typed) {
                case 'c' -> Name.CTRL_C;
                case 'l' -> Name.CTRL_L;
                // After an Escape these keys come as the control characters that they are.
                case 'j', 'm' -> Name.ENTER;
                case 'i' -> Name.TAB;
                case 'h' -> Name.BACKSPACE;
                default -> Name.OTHER;
              }));
    }
    if (Character.isHighSurrogate(typed)) {
      highSurrogate = typed;
      return Optional.empty();
    }
    if (Character.isLowSurrogate(typed)) {
      return Optional.of(KeyPress.text(Character.toCodePoint(highSurrogate, typed)));
    }
    return Optional.of(typed == ' ' ? KeyPress.of(Name.SPACE) : KeyPress.text(typed));
  }
}
