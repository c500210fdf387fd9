package cairn.tui.update;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.tui.model.Deeds;
import cairn.tui.model.Effect;
import cairn.tui.model.Event;
import cairn.tui.model.KeyPress;
import cairn.tui.model.Model;
import cairn.tui.model.TextField;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Keys as slow lines, stuck keys and pastes send them; and undo, whatever was done. */
class RobustKeysTest {

  /** Keys that decide, look and move, drawn from by the properties. */
  private static final List<String> KEYS =
      List.of(
          ("j k Space Backspace Enter n t c h l h l - + - v a x f d 1 2 Tab , . z b w o u r"
                  + " Left Right Home End")
              .split(" ", -1));

  private static KeyPress key(String name) {
    return name.length() == 1
        ? KeyPress.text(name.charAt(0))
        : KeyPress.of(KeyPress.Name.valueOf(name.toUpperCase(Locale.ROOT)));
  }

  private static List<KeyPress> draw(Random random, int count) {
    List<KeyPress> keys = new ArrayList<>();
    while (keys.size() < count) {
      keys.add(key(KEYS.get(random.nextInt(KEYS.size()))));
    }
    return keys;
  }

  @Test
  void undoTakesEveryChangeBackAndRedoMakesItAgain() {
    for (long seed = 1; seed <= 3; seed++) {
      WalkScript walk = WalkScript.open();
      List<Deeds> states = new ArrayList<>(List.of(walk.model.deeds()));
      for (KeyPress key : draw(new Random(seed), 60)) {
        if (key.equals(KeyPress.text('u')) || key.equals(KeyPress.text('r'))) {
          continue;
        }
        walk.press(key);
        if (!walk.model.deeds().equals(states.get(states.size() - 1))) {
          states.add(walk.model.deeds());
        }
      }
      assertTrue(states.size() > 5, "seed " + seed);
      for (int i = states.size() - 2; i >= 0; i--) {
        walk.press("u");
        assertEquals(states.get(i), walk.model.deeds(), "seed " + seed + ", undo to " + i);
      }
      walk.press("u");
      assertEquals("nothing to undo", walk.said(), "seed " + seed);
      for (int i = 1; i < states.size(); i++) {
        walk.press("r");
        assertEquals(states.get(i), walk.model.deeds(), "seed " + seed + ", redo to " + i);
      }
    }
  }

  @Test
  void fiveHundredKeysTypedAheadDoTheSameInTheSameOrder() {
    List<KeyPress> keys = draw(new Random(11), 500);
    WalkScript slowly = WalkScript.open();
    WalkScript ahead = WalkScript.open().hold();

    keys.forEach(slowly::press);
    keys.forEach(ahead::press);
    assertTrue(ahead.model.waiting().size() > 400);
    ahead.answer();

    assertEquals(List.of(), ahead.model.waiting());
    assertEquals(slowly.model.deeds(), ahead.model.deeds());
    assertEquals(slowly.model.undone(), ahead.model.undone());
    assertEquals(slowly.model.redoable(), ahead.model.redoable());
    assertEquals(slowly.row().head(), ahead.row().head());
    assertEquals(slowly.states(), ahead.states());
    assertEquals(500, ahead.model.keys());
  }

  @Test
  void whatWasSavedLastIsWhatIsThere() {
    WalkScript walk = WalkScript.open();
    long change = 0;
    for (KeyPress key : draw(new Random(21), 120)) {
      Deeds before = walk.model.deeds();
      walk.effects.clear();
      walk.press(key);
      List<Effect.Save> saves =
          walk.effects.stream()
              .filter(Effect.Save.class::isInstance)
              .map(Effect.Save.class::cast)
              .toList();
      assertTrue(!saves.isEmpty() || before.equals(walk.model.deeds()), key.toString());
      for (Effect.Save save : saves) {
        assertTrue(save.change() > change, key.toString());
        change = save.change();
        assertEquals(walk.model.deeds().marks(), save.state().marks(), key.toString());
      }
    }
  }

  @Test
  void anEscapeSequenceTornApartNeverChangesAMark() {
    WalkScript walk = WalkScript.open().press("Enter j t k");
    Deeds deeds = walk.model.deeds();
    List<String> torn = new ArrayList<>();
    for (char last = 'A'; last <= 'Z'; last++) {
      torn.add("[" + last);
      torn.add("O" + last);
      torn.add("[1;5" + last);
    }
    for (char digit = '0'; digit <= '9'; digit++) {
      torn.add("[" + digit + "~");
      torn.add("[2" + digit + "~");
    }
    for (String sequence : torn) {
      walk.press(KeyPress.of(KeyPress.Name.ESCAPE));
      sequence.chars().forEach(c -> walk.press(KeyPress.text(c)));
      assertEquals(deeds, walk.model.deeds(), sequence);
      assertEquals(0, leaves(walk), sequence);
    }
  }

  private static long leaves(WalkScript walk) {
    return walk.effects.stream().filter(Effect.Leave.class::isInstance).count();
  }

  @Test
  void aStuckCapsLockNeverChangesAMarkOnAnyScreen() {
    for (char from : "WSLPMFEC".toCharArray()) {
      WalkScript walk = WalkScript.open().press("Enter j t k");
      Deeds deeds = walk.model.deeds();
      walk.press(KeyPress.text(from));
      for (char capital = 'A'; capital <= 'Z'; capital++) {
        walk.press(KeyPress.text(capital)).press(KeyPress.text(from));
        assertEquals(deeds, walk.model.deeds(), from + " " + capital);
      }
      assertEquals(0, leaves(walk), String.valueOf(from));
    }
  }

  @Test
  void aPasteOfAMegabyteIsTextAndNeverKeys() {
    String pasted = "n t c x q\r\u001b[A\n".repeat(70_000);
    WalkScript walk = WalkScript.open().press("Enter");
    Deeds deeds = walk.model.deeds();

    walk.tell(new Event.Pasted(pasted));
    assertEquals(deeds, walk.model.deeds());
    assertTrue(walk.said().startsWith("pasted text is not taken for keys"), walk.said());

    walk.press("i");
    walk.tell(new Event.Pasted(pasted));
    TextField field = walk.model.field().orElseThrow();
    assertEquals(1_000, field.text().length());
    assertTrue(field.text().startsWith("n t c x q [A n t c"), field.text());
    assertTrue(field.text().chars().noneMatch(Character::isISOControl));
    walk.press("Escape");
    assertEquals(deeds, walk.model.deeds());
    assertEquals(0, leaves(walk));
  }

  @Test
  void aPasteWaitsForTheFieldThatItIsMeantFor() {
    WalkScript walk = WalkScript.open().hold().press("j e");
    walk.tell(new Event.Pasted("-2 dB"));
    walk.press("Enter");
    assertEquals(3, walk.model.waiting().size());

    walk.answer();

    assertEquals("!t!", walk.states());
  }

  @Test
  void updateLeavesTheModelThatItWasGivenAsItWas() {
    WalkScript walk = WalkScript.open();
    Model before = walk.model;
    String shown = before.toString();

    Update.update(before, new Event.Pressed(KeyPress.of(KeyPress.Name.ENTER)));

    assertEquals(shown, before.toString());
  }
}
