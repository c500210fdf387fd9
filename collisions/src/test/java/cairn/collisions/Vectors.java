package cairn.collisions;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;

/** Published and worked examples, from {@code src/test/resources/standards}. */
public final class Vectors {

  private Vectors() {}

  /** The lines of a comma-separated table, cut at the commas, without its heading. */
  public static List<String[]> rows(String file) {
    String text = new String(bytes(file), StandardCharsets.UTF_8);
    return text.lines().skip(1).map(line -> line.split(",", -1)).toList();
  }

  /** All vectors of a JSON file. */
  public static List<JsonNode> vectors(String file) {
    List<JsonNode> vectors = new ArrayList<>();
    try {
      new ObjectMapper().readTree(bytes(file)).get("vectors").forEach(vectors::add);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return vectors;
  }

  /** The vector of a JSON file with that id. */
  public static JsonNode vector(String file, String id) {
    return vectors(file).stream()
        .filter(vector -> vector.get("id").asText().equals(id))
        .findFirst()
        .orElseThrow(() -> new AssertionError(file + " has no vector " + id));
  }

  private static byte[] bytes(String file) {
    try (InputStream in = Vectors.class.getResourceAsStream("/standards/" + file)) {
      return Objects.requireNonNull(in, file).readAllBytes();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
