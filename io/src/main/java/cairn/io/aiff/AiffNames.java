package cairn.io.aiff;

import java.util.Locale;

/** Names of the AIFF formats, for the reader and the writer. */
final class AiffNames {

  static final String FORM = "FORM";
  static final String AIFF = "AIFF";
  static final String AIFC = "AIFC";
  static final String COMMON = "COMM";
  static final String SOUND = "SSND";
  static final String TYPE_NONE = "NONE";

  private AiffNames() {}

  /** The name of a compressed coding (AIFF-C draft of 1991 and later use, from memory). */
  static String codingOf(String type) {
    return switch (type.toLowerCase(Locale.ROOT)) {
      case "alaw" -> "A-law";
      case "ulaw" -> "mu-law";
      case "ima4" -> "IMA ADPCM";
      case "mac3", "mac6" -> "MACE";
      case "ace2", "ace8" -> "ACE";
      case "g722", "g726", "g728" -> "ITU-T speech coding";
      case "gsm " -> "GSM 6.10";
      case "dwvw" -> "DWVW";
      case "qdmc", "qdm2" -> "QDesign";
      default -> "unknown";
    };
  }
}
