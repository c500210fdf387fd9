package cairn.io.session;

import cairn.io.files.WholeFile;
import com.fasterxml.jackson.core.JsonProcessingException;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.Collection;

/** Reads and writes a session file; its grammar stands with the package. */
public final class SessionFile {

  /** Name of the file in the stems' folder. */
  public static final String NAME = "cairn-session.json";

  /** The version that is written; all from 1 on are read. */
  static final int VERSION = 1;

  private static final String SCHEMA = "cairn-session/";

  /** No session is larger: a thousand passes of a thousand moments are a quarter of it. */
  private static final int MOST_BYTES = 1 << 28;

  private SessionFile() {}

  /**
   * Reads a session.
   *
   * @throws UnusableSession if the file is damaged, too new, or something else
   * @throws java.nio.file.NoSuchFileException if there is no such file
   * @throws IOException if it cannot be read
   */
  public static SavedSession read(Path file) throws IOException {
    byte[] bytes;
    try (InputStream in = Files.newInputStream(file)) {
      bytes = in.readNBytes(MOST_BYTES + 1);
    }
    if (bytes.length > MOST_BYTES) {
      throw new UnusableSession.NotOurs(file, "over 256 MiB long");
    }
    return read(file, bytes);
  }

  private static SavedSession read(Path file, byte[] bytes) throws IOException {
    KeptMoments.Split kept = KeptMoments.Split.of(file, bytes);
    SavedSession session = read(file, bytes, kept);
    return kept.isUsedUp() ? session : read(file, bytes, KeptMoments.Split.none(file, bytes));
  }

  private static SavedSession read(Path file, byte[] bytes, KeptMoments.Split kept)
      throws IOException {
    JsonTree tree;
    try {
      tree = tree(bytes, kept);
    } catch (JsonProcessingException e) {
      String place =
          "line " + e.getLocation().getLineNr() + ", column " + e.getLocation().getColumnNr();
      String what = e.getOriginalMessage();
      if (wasOurs(bytes)) {
        throw new UnusableSession.Damaged(file, place, what);
      }
      throw new UnusableSession.NotOurs(file, place + ": " + what);
    }
    if (!(tree instanceof JsonTree.Obj root)) {
      throw new UnusableSession.NotOurs(file, "not an object");
    }
    if (!(root.fields().get("schema") instanceof JsonTree.Text schema)
        || !schema.text().startsWith(SCHEMA)) {
      throw new UnusableSession.NotOurs(file, "its schema is not " + SCHEMA + VERSION);
    }
    String version = schema.text().substring(SCHEMA.length());
    if (!version.equals(Integer.toString(VERSION))) {
      if (version.matches("[1-9][0-9]{0,8}")) {
        throw new UnusableSession.TooNew(file, version, VERSION);
      }
      throw new UnusableSession.Damaged(file, "schema", "no such version: " + version);
    }
    try {
      return Fields.ofRoot(
          root,
          fields -> {
            fields.needText("schema");
            return SavedSession.read(fields, kept);
          });
    } catch (Fields.Wrong e) {
      throw new UnusableSession.Damaged(file, e.place(), e.getMessage());
    }
  }

  private static JsonTree tree(byte[] bytes, KeptMoments.Split kept) throws IOException {
    try {
      return JsonText.parse(kept.rest());
    } catch (JsonProcessingException e) {
      if (kept.isWhole()) {
        throw e;
      }
      // It knows the place in what is left: the same once more, for the place in the file.
      return JsonText.parse(bytes);
    }
  }

  /**
   * Whether bytes that are no JSON are what is left of a session: they begin as ours do, or a power
   * cut left nothing or zeros.
   */
  private static boolean wasOurs(byte[] bytes) {
    boolean zeros = true;
    for (byte each : bytes) {
      zeros &= each == 0;
    }
    String start = new String(bytes, 0, Math.min(bytes.length, 128), StandardCharsets.UTF_8);
    return zeros || start.contains(SCHEMA) || ("{\n  \"schema\": \"" + SCHEMA).startsWith(start);
  }

  /**
   * Writes a session whole or not at all, over the one that is there.
   *
   * @param inputs the stems' files, which are never replaced
   * @throws WholeFile.NotWritten if that is not possible; the old file is as it was
   */
  public static void write(Path file, SavedSession session, Collection<Path> inputs)
      throws IOException {
    write(file, session, inputs, new PrintedPasses());
  }

  /** The same where it is written again and again. */
  static void write(Path file, SavedSession session, Collection<Path> inputs, PrintedPasses passes)
      throws IOException {
    byte[] bytes = bytes(session, passes);
    WholeFile.write(file, true, inputs, out -> out.write(bytes));
  }

  static byte[] bytes(SavedSession session) throws IOException {
    return bytes(session, new PrintedPasses());
  }

  static byte[] bytes(SavedSession session, PrintedPasses passes) throws IOException {
    return JsonText.print(session.write(SCHEMA + VERSION, passes.of(session.passes())));
  }

  /**
   * Gives a file a new name beside it, so that it is not written over: {@code
   * cairn-session.json.damaged-1}, or the first number that is free.
   *
   * @param why the word in the new name: {@code damaged}
   * @return where it is now
   */
  static Path setAside(Path file, String why) throws IOException {
    for (int i = 1; ; i++) {
      Path aside = file.resolveSibling(file.getFileName() + "." + why + "-" + i);
      if (!Files.exists(aside, LinkOption.NOFOLLOW_LINKS)) {
        return Files.move(file, aside); // fails, and replaces nothing, if there is one meanwhile
      }
    }
  }
}
