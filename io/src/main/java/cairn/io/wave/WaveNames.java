package cairn.io.wave;

/** Names and numbers of the WAVE formats, for the reader and the writer. */
final class WaveNames {

  static final String RIFF = "RIFF";
  static final String RF64 = "RF64";
  static final String BW64 = "BW64";
  static final String WAVE = "WAVE";
  static final String FORMAT = "fmt ";
  static final String DATA = "data";
  static final String FACT = "fact";
  static final String WIDE_SIZES = "ds64";
  static final String BROADCAST = "bext";
  static final String CUE = "cue ";
  static final String LIST = "LIST";
  static final String ASSOCIATED = "adtl";
  static final String LABEL = "labl";
  static final String NOTE = "note";
  static final String LABELLED_TEXT = "ltxt";
  static final String REGION = "rgn ";

  /** A 32-bit size field that says "look into the {@code ds64} chunk", or "not known yet". */
  static final long SIZE_ELSEWHERE = 0xFFFF_FFFFL;

  static final int TAG_PCM = 1;
  static final int TAG_FLOAT = 3;
  static final int TAG_EXTENSIBLE = 0xFFFE;

  static final int FORMAT_BYTES = 16;
  static final int EXTENSIBLE_FORMAT_BYTES = 40;

  /** Where in an extensible {@code fmt } chunk the GUID begins, whose first two bytes are a tag. */
  static final int SUBFORMAT_AT = 24;

  static final int GUID_BYTES = 16;

  /** Parts of a {@code bext} chunk. */
  static final int DESCRIPTION_BYTES = 256;

  static final int TIME_REFERENCE_AT = 338;

  /** What follows on the tag in the GUID of a coding that has a tag. */
  static final String GUID_TAIL = "\0\0\0\0\u0010\0\u0080\0\0\u00AA\0" + "8\u009Bq";

  private WaveNames() {}

  /** The name of the coding with that tag, as registered in RFC 2361 (from memory). */
  static String codingOf(int tag) {
    return switch (tag) {
      case 0x0002 -> "Microsoft ADPCM";
      case 0x0006 -> "A-law";
      case 0x0007 -> "mu-law";
      case 0x0008 -> "DTS";
      case 0x0010, 0x0017 -> "OKI ADPCM";
      case 0x0011 -> "IMA ADPCM";
      case 0x0031 -> "GSM 6.10";
      case 0x0040, 0x0045, 0x0064 -> "G.72x ADPCM";
      case 0x0050 -> "MPEG layer 1 or 2";
      case 0x0055 -> "MPEG layer 3";
      case 0x0092, 0x2000 -> "AC-3";
      case 0x00FF -> "AAC";
      case 0x0160, 0x0161, 0x0162, 0x0163 -> "Windows Media Audio";
      case 0xF1AC -> "FLAC";
      default -> "unknown";
    };
  }
}
