package cairn.tui.terminal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.tui.model.Event;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.atomic.AtomicBoolean;
import org.junit.jupiter.api.Test;

/** Sequences are those that xterm-256color, tmux-256color, linux and vt100 have in terminfo. */
class KeyReaderTest {

  private final List<Input> inputs = new ArrayList<>();
  private final AtomicBoolean synchronised = new AtomicBoolean();

  /** What the parts are read as: keys by name, pastes in quotation marks. */
  private String read(String... parts) {
    inputs.clear();
    new KeyReader(new TypedKeys(parts), inputs::add, () -> synchronised.set(true)).run();
    List<String> words = new ArrayList<>();
    for (Input input : inputs) {
      if (input instanceof Input.Told told && told.event() instanceof Event.Pressed pressed) {
        words.add(pressed.key().toString());
      } else if (input instanceof Input.Told told && told.event() instanceof Event.Pasted pasted) {
        words.add('"' + pasted.text() + '"');
      } else {
        words.add(input.getClass().getSimpleName());
      }
    }
    assertEquals("HungUp", words.remove(words.size() - 1), "the end of input must be told last");
    return String.join(" ", words);
  }

  @Test
  void lettersOfAnyScriptAreText() {
    assertEquals("j é ° 語 😀 space", read("jé°語😀 "));
  }

  @Test
  void arrowsAndTheirLikeAreReadInBothModesOfTheKeypad() {
    assertEquals("up down right left", read("\u001B[A\u001B[B\u001B[C\u001B[D"));
    assertEquals("up down right left", read("\u001BOA\u001BOB\u001BOC\u001BOD"));
    assertEquals("home end home end", read("\u001B[H\u001B[F\u001BOH\u001BOF"));
    assertEquals(
        "home end home end",
        read("\u001B[1~\u001B[4~\u001B[7~\u001B[8~".substring(0, 8) + "\u001B[H\u001B[F"));
    assertEquals("page_up page_down delete", read("\u001B[5~\u001B[6~\u001B[3~"));
    assertEquals("tab shift_tab", read("\t\u001B[Z"));
    assertEquals("enter backspace backspace", read("\n\u007F\b"));
    assertEquals("up", read("\u001B[1;5A"));
  }

  @Test
  void controlKeysThatAreKnownHaveNames() {
    assertEquals("ctrl_c ctrl_l Suspend other", read("\u0003\f\u001A\u0001"));
  }

  @Test
  void aLoneEscapeIsAKey() {
    assertEquals("escape", read("\u001B"));
    assertEquals("escape j", read("\u001B", TypedKeys.LONG, "j"));
  }

  @Test
  void aSequenceThatComesInPiecesIsOneKey() {
    assertEquals("up j", read("\u001B", "[A", "j"));
    assertEquals("page_down", read("\u001B[", "6", "~"));
  }

  @Test
  void aSequenceTornApartForTooLongLeavesCapitalsAndSigns() {
    assertEquals("escape [ A j", read("\u001B", TypedKeys.LONG, "[A", "j"));
    // Torn after its second character it is no Escape, which would close what is open.
    assertEquals("other A j", read("\u001B[", TypedKeys.LONG, "A", "j"));
    assertEquals("other B f", read("\u001BO", TypedKeys.LONG, "B", "f"));
    assertEquals("other 2 0 0 ~ a", read("\u001B[", TypedKeys.LONG, "200~a"));
  }

  @Test
  void aKeySoonAfterAnEscapeIsNotLost() {
    assertEquals("escape / j", read("\u001B/j"));
    assertEquals("escape q", read("\u001B", "q"));
    assertEquals("escape space j", read("\u001B j"));
    assertEquals("escape escape j", read("\u001B\u001B", TypedKeys.LONG, "j"));
    assertEquals("escape enter j", read("\u001B\nj"));
    assertEquals("escape backspace j", read("\u001B\u007Fj"));
    assertEquals("escape ctrl_c j", read("\u001B\u0003j"));
    assertEquals("escape Suspend j", read("\u001B\u001Aj"));
    assertEquals("escape \"a\" j", read("\u001B\u001B[200~a\u001B[201~j"));
  }

  @Test
  void sequencesThatNoKeyHasAreNotReadAsTheLettersInThem() {
    // Focus reports, a mouse report (SGR), answers to DA1 and DSR, the keypad in application mode.
    assertEquals(
        "j", read("\u001B[I\u001B[O\u001B[<0;10;20M\u001B[?62;22c\u001B[0n\u001BOn\u001BOj" + "j"));
    assertEquals("other j", read("\u001B[[A" + "j"), "F1 of the Linux console");
    assertEquals("other j", read("\u001BOP" + "j"), "F1");
    assertEquals("other j", read("\u001B[15~" + "j"), "F5");
  }

  @Test
  void theTerminalsAnswerThatItHoldsPicturesBackIsNoKey() {
    assertEquals("j", read("\u001B[?2026;0$yj"));
    assertFalse(synchronised.get(), "0 means that it does not know the mode");
    assertEquals("j", read("\u001B[?2026;2$yj"));
    assertTrue(synchronised.get());
  }

  @Test
  void aPasteIsTextWhateverIsInIt() {
    assertEquals(
        "j \"q n\nt\tx\" k", read("j\u001B[200~q n\rt\tx\u001B[201~k".replace('\r', '\n')));
    assertEquals("\"a[Ab\"", read("\u001B[200~a[Ab\u001B[201~"));
    assertEquals("\"\" j", read("\u001B[200~\u001B[201~j"));
  }

  @Test
  void aPasteInPiecesIsOne() {
    assertEquals("\"abcdef\" j", read("\u001B[200~abc", "def\u001B[201~", "j"));
  }

  @Test
  void ctrlCEndsAPasteWhoseEndWasLost() {
    assertEquals("\"abc\" ctrl_c j", read("\u001B[200~abc\u0003j"));
  }

  @Test
  void aPasteOfAMegabyteIsTakenInAndCutOff() {
    read("\u001B[200~" + "n".repeat(1 << 20) + "\u001B[201~q");
    assertEquals(3, inputs.size(), "a paste, a key and the end");
    assertTrue(
        inputs.get(0) instanceof Input.Told told
            && told.event() instanceof Event.Pasted pasted
            && pasted.text().length() == 65_536);
  }

  @Test
  void fiveHundredKeysTypedAheadAllComeInOrder() {
    String keys = "jk".repeat(250);
    assertEquals(String.join(" ", keys.split("")), read(keys));
  }
}
