package cairn.io.cue;

import java.nio.file.Path;
import java.util.Locale;
import java.util.Optional;

/** The file formats of a cue list. */
public enum CueFormat {
  CSV("csv"),
  JSON("json"),
  TEXT("txt"),
  MIDI("mid"),
  WAVE("wav");

  private final String ending;

  CueFormat(String ending) {
    this.ending = ending;
  }

  /** The usual ending of its file names, without the full stop. */
  public String ending() {
    return ending;
  }

  /** The format that a file name's ending tells. */
  public static Optional<CueFormat> of(Path file) {
    String name = String.valueOf(file.getFileName()).toLowerCase(Locale.ROOT);
    return switch (name.substring(name.lastIndexOf('.') + 1)) {
      case "csv" -> Optional.of(CSV);
      case "json" -> Optional.of(JSON);
      case "txt", "text" -> Optional.of(TEXT);
      case "mid", "midi", "smf" -> Optional.of(MIDI);
      case "wav", "wave" -> Optional.of(WAVE);
      default -> Optional.empty();
    };
  }
}
