package cairn.io.session;

import static org.junit.jupiter.api.Assertions.assertEquals;

import cairn.io.files.XdgFolders;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class DefaultsFileTest {

  @TempDir Path home;

  private Path file() {
    return DefaultsFile.place(XdgFolders.of(Map.of("HOME", home.toString()), "")).orElseThrow();
  }

  @Test
  void whatWasSetLastIsTheNextDefault() throws IOException {
    assertEquals(home.resolve(".config/cairn/defaults.json"), file());
    assertEquals(
        new DefaultsFile.Found(Preferences.DEFAULT, Optional.empty()), DefaultsFile.read(file()));
    Preferences set = Sessions.full().preferences();
    DefaultsFile.write(file(), set);
    assertEquals(new DefaultsFile.Found(set, Optional.empty()), DefaultsFile.read(file()));
  }

  @Test
  void theUsualValuesAreThoseOfTheDefinitions() {
    // definitions.md, 6: ceiling -1, allowance 3, no goal; 4: nudges to 3 ms, dear over 0.5 dB; 5:
    // trims to 3 dB, clips to 2 ms in a plan.
    Preferences usual = Preferences.DEFAULT;
    assertEquals(-1, usual.ceilingDb());
    assertEquals(3, usual.allowanceDb());
    assertEquals(3, usual.limits().nudgeMillis());
    assertEquals(30, usual.limits().trimTenthsDb());
    assertEquals(2, usual.limits().lobeMillis());
    assertEquals(0.5, usual.dearDb());
    assertEquals(true, usual.goalLufs().isEmpty());
  }

  @Test
  void aFileThatCannotBeReadIsSaidAndStays() throws IOException {
    Files.createDirectories(file().getParent());
    record Wrong(String text, String why) {}
    for (Wrong wrong :
        new Wrong[] {
          new Wrong("[]", "not an object"),
          new Wrong(
              "{\"schema\": \"cairn-defaults/1\", \"preferences\": {\"dearDb\": \"much\"}}",
              "preferences.dearDb must be a number"),
          new Wrong(
              "{\"schema\": \"cairn-defaults/1\", \"preferences\": {\"nudgeMs\": 70}}",
              "preferences nudge limit must be over 0 ms and at most 49 ms: nudgeMillis=70.0"),
          new Wrong(
              "{\"schema\": \"cairn-defaults/2\"}",
              "the outermost object schema must be cairn-defaults/1"),
        }) {
      Files.writeString(file(), wrong.text());
      assertEquals(
          new DefaultsFile.Found(
              Preferences.DEFAULT,
              Optional.of(
                  "'" + file() + "' is passed over (" + wrong.why() + "); mend it or delete it")),
          DefaultsFile.read(file()));
      DefaultsFile.write(file(), Sessions.full().preferences());
      assertEquals(wrong.text(), Files.readString(file()));
    }
  }

  @Test
  void fieldsLeftOutHaveTheUsualValues() throws IOException {
    Files.createDirectories(file().getParent());
    Files.writeString(
        file(), "{\"schema\": \"cairn-defaults/1\", \"preferences\": {\"goalLufs\": -9}}");
    assertEquals(
        Preferences.DEFAULT.withGoal(OptionalDouble.of(-9)),
        DefaultsFile.read(file()).preferences());
  }
}
