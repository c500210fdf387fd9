package cairn.io.session;

import cairn.io.files.SafeText;
import cairn.io.files.WholeFile;
import cairn.io.files.XdgFolders;
import com.fasterxml.jackson.core.JsonProcessingException;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;

/**
 * Goal, limits and notation for the next session: {@code defaults.json} in the user's configuration
 * folder. People may edit it: what is wrong in it is said, and the program's own defaults stand in.
 */
public final class DefaultsFile {

  static final String SCHEMA = "cairn-defaults/1";

  private DefaultsFile() {}

  /**
   * What was found.
   *
   * @param preferences the defaults
   * @param line what is wrong with the file, one line, safe to show; empty: nothing
   */
  public record Found(Preferences preferences, Optional<String> line) {}

  /** Where it lies; empty where there is no home folder. */
  public static Optional<Path> place(XdgFolders folders) {
    return folders.config().map(folder -> folder.resolve("defaults.json"));
  }

  /** Reads the defaults; where there are none, those of the program. Never fails. */
  public static Found read(Path file) {
    try {
      return new Found(parse(Files.readAllBytes(file)), Optional.empty());
    } catch (NoSuchFileException e) {
      return new Found(Preferences.DEFAULT, Optional.empty());
    } catch (Fields.Wrong e) {
      return unread(file, e.place() + " " + e.getMessage());
    } catch (JsonProcessingException e) {
      return unread(file, "line " + e.getLocation().getLineNr() + ": " + e.getOriginalMessage());
    } catch (IOException e) {
      return unread(file, String.valueOf(e.getMessage()));
    }
  }

  private static Preferences parse(byte[] bytes) throws IOException {
    if (!(JsonText.parse(bytes) instanceof JsonTree.Obj root)) {
      throw new IOException("not an object");
    }
    return Fields.ofRoot(
        root,
        fields -> {
          if (!fields.needText("schema").equals(SCHEMA)) {
            throw new IllegalArgumentException("schema must be " + SCHEMA);
          }
          return fields.needObject("preferences", Preferences::read);
        });
  }

  private static Found unread(Path file, String why) {
    return new Found(
        Preferences.DEFAULT,
        Optional.of(
            "'"
                + SafeText.of(file.toString())
                + "' is passed over ("
                + SafeText.of(why)
                + "); mend it or delete it"));
  }

  /**
   * Writes the defaults. A file that could not be read stays as it is: it may hold work of the
   * user's.
   *
   * @throws IOException if that is not possible, in one line
   */
  public static void write(Path file, Preferences preferences) throws IOException {
    if (read(file).line().isPresent()) {
      return;
    }
    XdgFolders.make(file.getParent());
    byte[] bytes =
        JsonText.print(
            new ObjectBuilder()
                .text("schema", SCHEMA)
                .object("preferences", preferences.write())
                .with(Unknown.NONE));
    WholeFile.write(file, true, List.of(), out -> out.write(bytes));
  }
}
