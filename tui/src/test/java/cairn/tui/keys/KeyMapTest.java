package cairn.tui.keys;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.tui.model.KeyPress;
import cairn.tui.model.KeyPress.Name;
import cairn.tui.model.Screen;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;

class KeyMapTest {

  /** What only goes to a screen. */
  private static final Set<Intent> GOES =
      EnumSet.of(
          Intent.WALK,
          Intent.STEMS,
          Intent.LADDER,
          Intent.PLAN,
          Intent.MARKS,
          Intent.SPECTRUM,
          Intent.EXPORT,
          Intent.CHECK);

  @Test
  void everyIntentHasAKey() {
    Set<Intent> bound = KeyMap.all().stream().map(Binding::intent).collect(Collectors.toSet());

    assertEquals(EnumSet.allOf(Intent.class), bound);
    KeyMap.all().forEach(row -> assertFalse(row.keys().isEmpty(), row.toString()));
    KeyMap.all().forEach(row -> assertFalse(row.screens().isEmpty(), row.toString()));
  }

  @Test
  void aKeyMeansOneThingOnEveryScreen() {
    Map<KeyPress, Intent> meanings = new HashMap<>();
    for (Binding row : KeyMap.all()) {
      for (KeyPress key : row.keys()) {
        Intent other = meanings.put(key, row.intent());
        assertEquals(null, other, key + " is for " + other + " and " + row.intent());
      }
    }
  }

  @Test
  void capitalsGoToScreensAndDoNothingElse() {
    for (Binding row : KeyMap.all()) {
      for (KeyPress key : row.keys()) {
        if (Character.isUpperCase(key.codePoint())) {
          assertTrue(GOES.contains(row.intent()), key + " is for " + row.intent());
        }
      }
    }
  }

  @Test
  void noKeyNeedsMoreThanALatinKeyboardTypesWithoutAltOrCtrl() {
    for (Binding row : KeyMap.all()) {
      for (KeyPress key : row.keys()) {
        assertTrue(
            key.name() != Name.TEXT
                || (key.codePoint() < 128 && Character.isLetterOrDigit(key.codePoint()))
                || ",.-+/?_=".indexOf(key.codePoint()) >= 0,
            key.toString());
      }
    }
  }

  /** The table of the screens' own page, walk first. */
  @Test
  void theKeysOfTheWalkAreThoseOfTheTable() {
    Map<String, Intent> table = new HashMap<>();
    List<Intent> intents =
        List.of(
            Intent.DOWN,
            Intent.UP,
            Intent.GO_TO,
            Intent.NARROW,
            Intent.ORDER,
            Intent.NUDGE,
            Intent.TRIM,
            Intent.CLIP,
            Intent.EARLIER,
            Intent.LATER,
            Intent.LESS,
            Intent.MORE,
            Intent.LESS,
            Intent.MORE,
            Intent.FINER,
            Intent.COARSER,
            Intent.EXACT,
            Intent.OTHER_FIX,
            Intent.ALL,
            Intent.DROP,
            Intent.FINE,
            Intent.DONE,
            Intent.NOTE,
            Intent.UNDO,
            Intent.REDO,
            Intent.WHAT_IF,
            Intent.ZOOM,
            Intent.BREADTH,
            Intent.HELP,
            Intent.BACK);
    List<String> keys =
        List.of("j k g / o n t c h l - + _ = , . e v a x f d i u r w z b ? q".split(" ", -1));
    for (int i = 0; i < keys.size(); i++) {
      table.put(keys.get(i), intents.get(i));
    }
    table.forEach(
        (key, intent) ->
            assertEquals(
                intent,
                KeyMap.intent(Screen.WALK, KeyPress.text(key.codePointAt(0))).orElseThrow(),
                key));
    for (String screen : "WALK STEMS LADDER PLAN MARKS EXPORT CHECK".split(" ", -1)) {
      assertEquals(
          Intent.valueOf(screen),
          KeyMap.intent(Screen.WALK, KeyPress.text(screen.codePointAt(0))).orElseThrow());
    }
    assertEquals(Intent.SPECTRUM, KeyMap.intent(Screen.WALK, KeyPress.text('F')).orElseThrow());
    for (String key : "m s p y".split(" ", -1)) {
      KeyPress press = KeyPress.text(key.codePointAt(0));
      assertTrue(KeyMap.intent(Screen.STEMS, press).isPresent(), key);
      assertTrue(KeyMap.intent(Screen.WALK, press).isEmpty(), key);
    }
  }

  @Test
  void theFootLineIsDrawnFromTheTableAndFitsEightyColumns() {
    assertEquals(
        List.of("Space next", "Enter take", "h l move", "- + level", "a all", "f fine", "P plan"),
        KeyMap.foot(Screen.WALK));
    assertTrue(KeyMap.foot(Screen.STEMS).contains("f leave alone"));
    assertTrue(KeyMap.foot(Screen.LADDER).contains("- + line"));
    for (Screen screen : Screen.values()) {
      for (String words : KeyMap.foot(screen)) {
        List<String> keys =
            Arrays.stream(words.split(" ", -1)).filter(w -> w.length() == 1).toList();
        for (String key : keys) {
          assertTrue(
              KeyMap.intent(screen, KeyPress.text(key.codePointAt(0))).isPresent(),
              screen + " has no " + key);
        }
      }
    }
    assertTrue(String.join("  ", KeyMap.foot(Screen.WALK)).length() <= 80 - "  ? keys".length());
  }

  @Test
  void theHelpFindsEveryActionByAWordOfIt() {
    assertEquals(KeyMap.all().size(), KeyMap.help(Screen.WALK, "").size());
    assertEquals(
        List.of(Intent.MUTE),
        KeyMap.help(Screen.WALK, "MUTE").stream().map(Binding::intent).toList());
    assertEquals(Intent.FINE, KeyMap.help(Screen.STEMS, "leave").get(0).intent());
    assertTrue(KeyMap.help(Screen.WALK, "no such action").isEmpty());
    // Enter does the first: it is not to be a key that only tells of the ladder.
    for (String word :
        "ladder stems marks plan spectrum export check nudge trim clip".split(" ", -1)) {
      for (Screen screen : Screen.values()) {
        assertEquals(word, KeyMap.help(screen, word).get(0).words(screen), word);
      }
    }
  }
}
