package cairn.io.session;

import cairn.collisions.Decibels;
import cairn.collisions.plan.PeakTrack;
import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.util.Base64;
import java.util.zip.DataFormatException;
import java.util.zip.Deflater;
import java.util.zip.Inflater;

/**
 * Peaks one after the other, small enough to be written after every change: each is its dBFS,
 * rounded to hundredths, in 16 bits, big-endian; so it is right to 0.005 dB, where 0.1 dB is what
 * counts. All together deflated (zlib, RFC 1950), in Base64 (RFC 4648, 4).
 *
 * @param packed the text
 */
public record SavedPeaks(String packed) {

  private static final double STEPS_PER_DB = 100;

  /** Also what is lower than 327.67 dB under full scale, where no sound is. */
  private static final short SILENT = Short.MIN_VALUE;

  /** More than a day in blocks of 5.3 ms: no session, but a file that was made to fill memory. */
  private static final int MOST_BYTES = 1 << 25;

  public SavedPeaks {
    unpack(packed);
  }

  /** Rounds and packs peaks. */
  public static SavedPeaks of(PeakTrack peaks) {
    ByteBuffer bytes = ByteBuffer.allocate(Short.BYTES * peaks.size());
    for (int i = 0; i < peaks.size(); i++) {
      double steps = Math.rint(STEPS_PER_DB * Decibels.ofAmplitude(peaks.at(i)));
      bytes.putShort(steps > SILENT ? (short) Math.min(Short.MAX_VALUE, steps) : SILENT);
    }
    Deflater deflater = new Deflater();
    try {
      deflater.setInput(bytes.array());
      deflater.finish();
      ByteArrayOutputStream out = new ByteArrayOutputStream();
      byte[] piece = new byte[8192];
      while (!deflater.finished()) {
        out.write(piece, 0, deflater.deflate(piece));
      }
      return new SavedPeaks(Base64.getEncoder().encodeToString(out.toByteArray()));
    } finally {
      deflater.end();
    }
  }

  /** The peaks, linear. */
  public PeakTrack track() {
    ByteBuffer bytes = ByteBuffer.wrap(unpack(packed));
    double[] levels = new double[bytes.remaining() / Short.BYTES];
    for (int i = 0; i < levels.length; i++) {
      short steps = bytes.getShort();
      levels[i] = steps == SILENT ? 0 : Decibels.toFactor(steps / STEPS_PER_DB);
    }
    return PeakTrack.of(levels);
  }

  private static byte[] unpack(String packed) {
    Inflater inflater = new Inflater();
    try {
      inflater.setInput(Base64.getDecoder().decode(packed));
      ByteArrayOutputStream out = new ByteArrayOutputStream();
      byte[] piece = new byte[8192];
      while (!inflater.finished()) {
        int bytes = inflater.inflate(piece);
        if (bytes == 0 && !inflater.finished()) {
          throw new IllegalArgumentException("peaks must be whole: they end too early");
        }
        out.write(piece, 0, bytes);
        if (out.size() > MOST_BYTES) {
          throw new IllegalArgumentException("peaks must be at most " + MOST_BYTES + " bytes");
        }
      }
      if (out.size() % Short.BYTES != 0) {
        throw new IllegalArgumentException("peaks must have 2 bytes each: bytes=" + out.size());
      }
      return out.toByteArray();
    } catch (DataFormatException e) {
      throw new IllegalArgumentException("peaks must be deflated: " + e.getMessage(), e);
    } finally {
      inflater.end();
    }
  }
}
