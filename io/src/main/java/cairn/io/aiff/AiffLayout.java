package cairn.io.aiff;

import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.sound.SoundFormat.Kind;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;

/**
 * What a plain AIFF file to be written looks like.
 *
 * @param coding whole numbers, big-endian
 * @param sampleRateHz sample rate in Hz, above 0
 * @param channels 1 or 2
 * @param frames length in frames, at least 0; the whole file stays under 4 GiB
 */
public record AiffLayout(LinearCoding coding, int sampleRateHz, int channels, long frames) {

  private static final int HEADER_BYTES = 54;
  private static final int COMMON_BYTES = 18;
  private static final int SOUND_HEADER_BYTES = 8;
  private static final long MOST_BYTES = 0xFFFF_FFFFL;

  public AiffLayout {
    if (coding.order() != ByteOrder.BIG_ENDIAN || coding.kind() != Kind.INTEGER) {
      throw new IllegalArgumentException("coding must be big-endian PCM: coding=" + coding);
    }
    if (sampleRateHz < 1 || channels < 1 || channels > 2) {
      throw new IllegalArgumentException(
          "sampleRateHz must be > 0, channels 1 or 2: sampleRateHz="
              + sampleRateHz
              + ", channels="
              + channels);
    }
    long mostFrames = (MOST_BYTES - HEADER_BYTES - 1) / ((long) channels * coding.bytes());
    if (frames < 0 || frames > mostFrames) {
      throw new IllegalArgumentException(
          "frames must be >= 0 and fit 4 GiB, write WAVE instead: frames="
              + frames
              + ", mostFrames="
              + mostFrames);
    }
  }

  /** Writes the header to {@code out}; the writer that takes the frames closes it. */
  public LinearSoundWriter writeTo(OutputStream out) throws IOException {
    return new LinearSoundWriter(out, header(), coding, channels, frames);
  }

  /** All bytes before frame 0. */
  public byte[] header() {
    long soundBytes = frames * channels * coding.bytes();
    ByteBuffer to = ByteBuffer.allocate(HEADER_BYTES);
    putId(to, AiffNames.FORM);
    to.putInt((int) (HEADER_BYTES - 8 + soundBytes + (soundBytes & 1)));
    putId(to, AiffNames.AIFF);
    putId(to, AiffNames.COMMON);
    to.putInt(COMMON_BYTES);
    to.putShort((short) channels);
    to.putInt((int) frames);
    to.putShort((short) coding.bits());
    ExtendedNumber.put(to, sampleRateHz);
    putId(to, AiffNames.SOUND);
    to.putInt((int) (SOUND_HEADER_BYTES + soundBytes));
    to.putInt(0);
    to.putInt(0);
    return to.array();
  }

  private static void putId(ByteBuffer to, String id) {
    to.put(id.getBytes(StandardCharsets.ISO_8859_1));
  }
}
