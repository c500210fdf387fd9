package cairn.io.sound;

import java.util.Objects;

/**
 * What a sound file holds.
 *
 * @param container the file format
 * @param kind how a sample is written
 * @param bits width of one sample in its container, in bits
 * @param sampleRateHz sample rate in Hz
 * @param channels number of channels
 * @param frames length in frames
 */
public record SoundFormat(
    Container container, Kind kind, int bits, int sampleRateHz, int channels, long frames) {

  /** The file formats that are read. */
  public enum Container {
    WAVE,
    RF64,
    BW64,
    AIFF,
    AIFC,
    FLAC
  }

  /** How a sample is written. */
  public enum Kind {
    /** Whole numbers; full scale is 2^(bits − 1). */
    INTEGER,
    /** IEEE 754 numbers; full scale is 1.0. */
    FLOAT
  }

  public SoundFormat {
    Objects.requireNonNull(container, "container");
    Objects.requireNonNull(kind, "kind");
  }

  /** The coding in two words: {@code PCM 24}, {@code float 32}, {@code FLAC 16}. */
  public String coding() {
    if (container == Container.FLAC) {
      return "FLAC " + bits;
    }
    return (kind == Kind.FLOAT ? "float " : "PCM ") + bits;
  }
}
