package cairn.tui;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** The fenced blocks of README.md that stand behind a marker. */
public final class Readme {

  private static final Path FILE = Path.of("..", "README.md");

  private Readme() {}

  /** Whether blocks are mended in place of checked. */
  public static boolean isMended() {
    return Boolean.getBoolean("cairn.rewrite");
  }

  /** Holds a block against what was printed, or mends it. */
  public static void check(String marker, String printed) throws IOException {
    Matcher shown = find(marker);
    if (isMended()) {
      StringBuilder readme = new StringBuilder(Files.readString(FILE));
      readme.replace(shown.start(1), shown.end(1), printed);
      Files.writeString(FILE, readme);
      return;
    }
    assertEquals(printed, shown.group(1));
  }

  /** The lines of a block. */
  public static String block(String marker) throws IOException {
    return find(marker).group(1);
  }

  private static Matcher find(String marker) throws IOException {
    Matcher block =
        Pattern.compile("<!-- " + marker + " -->\n```\\w*\n(.*?)```", Pattern.DOTALL)
            .matcher(Files.readString(FILE));
    assertTrue(block.find(), "README.md must have a block marked " + marker);
    return block;
  }
}
