package cairn.tui.terminal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.tui.model.Look;
import cairn.tui.model.Look.Colours;
import java.util.HashMap;
import java.util.Map;
import org.junit.jupiter.api.Test;

class LooksTest {

  private static Map<String, String> environment(String... namesAndValues) {
    Map<String, String> environment = new HashMap<>();
    for (int i = 0; i < namesAndValues.length; i += 2) {
      environment.put(namesAndValues[i], namesAndValues[i + 1]);
    }
    return environment;
  }

  private static Look look(String... namesAndValues) {
    return Looks.of(environment(namesAndValues), false);
  }

  @Test
  void theLocaleDecidesOnUnicodeInTheOrderOfPosix() {
    assertTrue(look("TERM", "xterm", "LANG", "pt_BR.UTF-8").unicode());
    assertTrue(look("TERM", "xterm", "LANG", "C", "LC_CTYPE", "C.utf8").unicode());
    assertEquals(false, look("TERM", "xterm", "LANG", "de_DE.UTF-8", "LC_ALL", "C").unicode());
    assertTrue(look("TERM", "xterm", "LC_ALL", "", "LANG", "de_DE.UTF-8").unicode());
    assertEquals(false, look("TERM", "xterm").unicode());
    assertEquals(false, look("TERM", "xterm", "CAIRN_LOCALE", "", "LC_ALL", "C.UTF-8").unicode());
    assertEquals(
        false, look("TERM", "xterm", "CAIRN_LOCALE", "en_US", "LC_ALL", "C.UTF-8").unicode());
  }

  @Test
  void asciiCanBeAskedForAndIsAllThatTheConsoleHas() {
    assertEquals(false, Looks.of(environment("TERM", "xterm", "LANG", "C.UTF-8"), true).unicode());
    assertEquals(false, look("TERM", "linux", "LANG", "C.UTF-8").unicode());
    assertEquals(false, look("TERM", "vt100", "LANG", "C.UTF-8").unicode());
  }

  @Test
  void coloursComeFromTheKindOfTerminal() {
    assertEquals(Colours.TWO_HUNDRED_FIFTY_SIX, look("TERM", "xterm-256color").colours());
    assertEquals(Colours.TWO_HUNDRED_FIFTY_SIX, look("TERM", "tmux-256color").colours());
    assertEquals(Colours.SIXTEEN, look("TERM", "screen").colours());
    assertEquals(Colours.SIXTEEN, look("TERM", "linux").colours());
    assertEquals(Colours.NONE, look("TERM", "vt100").colours());
    assertEquals(Colours.TRUE, look("TERM", "xterm-256color", "COLORTERM", "truecolor").colours());
  }

  @Test
  void noColorWinsOverAll() {
    assertEquals(
        Colours.NONE,
        look("TERM", "xterm-256color", "COLORTERM", "truecolor", "NO_COLOR", "1").colours());
    // no-color.org: "when present and not an empty string".
    assertEquals(
        Colours.TWO_HUNDRED_FIFTY_SIX, look("TERM", "xterm-256color", "NO_COLOR", "").colours());
  }

  @Test
  void aTerminalThatCannotPlaceTextIsRefusedWithTheWayOut() {
    assertEquals(
        "this terminal cannot place text (TERM is dumb); use another one, or cairn list",
        Looks.refused(environment("TERM", "dumb")).orElse(""));
    assertTrue(Looks.refused(environment()).isPresent());
    assertTrue(Looks.refused(environment("TERM", "vt100")).isEmpty());
  }
}
