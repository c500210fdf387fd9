package cairn.tui.view;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.junit.jupiter.api.Assertions.assertEquals;

import cairn.tui.model.Model;
import cairn.tui.model.Screen;
import cairn.tui.model.Size;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;

/**
 * Every screen as text, held against a file that a person has looked at; {@code
 * -Dcairn.rewrite=true} writes the files anew, and the difference is looked at like code.
 */
class GoldenScreensTest {

  private static final Path FOLDER = Path.of("src/test/resources/screens");

  @TestFactory
  List<DynamicTest> everyScreenLooksAsItDidWhenItWasLookedAt() {
    ParadeModels models = ParadeModels.all();
    List<DynamicTest> tests = new ArrayList<>();
    for (Size size : List.of(new Size(80, 24), new Size(200, 60))) {
      for (var look : List.of(ParadeModels.ASCII, ParadeModels.UTF_8)) {
        String ending =
            "-" + size.columns() + "x" + size.rows() + (look.unicode() ? "-utf8" : "-ascii");
        for (Screen screen : Screen.values()) {
          tests.add(
              test(
                  screen.toString().toLowerCase(Locale.ROOT) + ending,
                  models.screen(screen, size, look)));
        }
        tests.add(test("fresh" + ending, models.fresh(size, look)));
        tests.add(test("second" + ending, models.second(Screen.WALK, size, look)));
        tests.add(test("second-marks" + ending, models.second(Screen.MARKS, size, look)));
        tests.add(test("loading" + ending, models.loading(size, look)));
      }
    }
    tests.add(test("small-60x10-ascii", models.walk(new Size(60, 10), ParadeModels.ASCII)));
    return tests;
  }

  private static DynamicTest test(String name, Model model) {
    return DynamicTest.dynamicTest(
        name,
        () -> {
          Canvas canvas = Pictures.draw(model);
          String drawn =
              canvas.asText() + "cursor " + canvas.cursorRow() + " " + canvas.cursorColumn() + "\n";
          Path file = FOLDER.resolve(name + ".txt");
          if (Boolean.getBoolean("cairn.rewrite")) {
            Files.createDirectories(FOLDER);
            Files.writeString(file, drawn, UTF_8);
          }
          assertEquals(read(file), drawn, name);
        });
  }

  private static String read(Path file) throws IOException {
    return Files.isRegularFile(file) ? Files.readString(file, UTF_8) : "";
  }
}
