package cairn.io.sound;

import java.nio.file.Path;
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

  /** More than any converter or program uses, and the most that FLAC can say (RFC 9639, 8.2). */
  private static final int MOST_HZ = 1_048_575;

  public SoundFormat {
    Objects.requireNonNull(container, "container");
    Objects.requireNonNull(kind, "kind");
  }

  // Written out, since every start compares formats: what Java would make of the components is put
  // together from method handles at the first call, which takes 15 ms.

  @Override
  public boolean equals(Object other) {
    return other instanceof SoundFormat that
        && container == that.container
        && kind == that.kind
        && bits == that.bits
        && sampleRateHz == that.sampleRateHz
        && channels == that.channels
        && frames == that.frames;
  }

  @Override
  public int hashCode() {
    int hash = 31 * container.hashCode() + kind.hashCode();
    hash = 31 * (31 * hash + bits) + sampleRateHz;
    return 31 * (31 * hash + channels) + Long.hashCode(frames);
  }

  /** The coding in two words: {@code PCM 24}, {@code float 32}, {@code FLAC 16}. */
  public String coding() {
    if (container == Container.FLAC) {
      return "FLAC " + bits;
    }
    return (kind == Kind.FLOAT ? "float " : "PCM ") + bits;
  }

  /**
   * Refuses what is neither mono nor stereo.
   *
   * @param channels what the header says
   * @throws UnusableStem if it is not 1 or 2; the message says what to do
   */
  public static void checkChannels(Path path, int channels) throws UnusableStem {
    if (channels < 1) {
      throw new UnusableStem.Damaged(
          path, "says it has " + channels + " channels; export it again");
    }
    if (channels > 2) {
      throw new UnusableStem.NotReadHere(
          path, "has " + channels + " channels, not 1 or 2; export it as stereo or as mono files");
    }
  }

  /**
   * Refuses a rate that no sound has.
   *
   * @param sampleRateHz what the header says, in Hz
   * @throws UnusableStem if it is below 1 or above 1048575; the message says what to do
   */
  public static void checkSampleRate(Path path, long sampleRateHz) throws UnusableStem {
    if (sampleRateHz < 1 || sampleRateHz > MOST_HZ) {
      throw new UnusableStem.Damaged(
          path, "says it has a sample rate of " + sampleRateHz + " Hz; export it again");
    }
  }
}
