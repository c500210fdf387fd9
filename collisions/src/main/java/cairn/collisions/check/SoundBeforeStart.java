package cairn.collisions.check;

import cairn.collisions.Decibels;
import cairn.collisions.Session;
import cairn.collisions.Stem;
import cairn.collisions.port.StemReader;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Block;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/**
 * Sound of a stem that its offset pushes before time zero, where nothing of it is heard.
 *
 * @param stem index of the stem
 * @param earlierFrames by how many frames the stem is set earlier
 * @param silentFrames by how many it might be without a loss: so much silence it begins with
 */
public record SoundBeforeStart(int stem, long earlierFrames, long silentFrames) {

  /** Under -70 dBFS there is silence, as for averages. */
  private static final double SOUND_FROM = Decibels.toFactor(-70);

  private static final int BLOCK_FRAMES = 1 << 16;

  /**
   * The stems of a session that lose sound so, in their order. Of a stem that is set earlier, its
   * start is read as far as its first sound; muted ones are left out.
   *
   * @throws IOException if a stem cannot be read
   */
  public static List<SoundBeforeStart> of(Session session, StemSource source) throws IOException {
    List<Integer> earlier = new ArrayList<>();
    for (int k = 0; k < session.stems().size(); k++) {
      if (session.faders().get(k).offset() < 0 && !session.faders().get(k).muted()) {
        earlier.add(k);
      }
    }
    if (earlier.isEmpty()) {
      return List.of();
    }
    List<SoundBeforeStart> found = new ArrayList<>();
    double[][] block = Block.stereo(BLOCK_FRAMES);
    try (StemReader reader = source.openReader()) {
      for (int k : earlier) {
        long by = -session.faders().get(k).offset();
        Stem stem = session.stems().get(k);
        long silent = silent(reader, k, stem.channels(), Math.min(by, stem.frames()), block);
        if (silent < Math.min(by, stem.frames())) {
          found.add(new SoundBeforeStart(k, by, silent));
        }
      }
    }
    return found;
  }

  /** How many of the first {@code most} frames of a stem are silent before a sound comes. */
  private static long silent(StemReader reader, int k, int channels, long most, double[][] block)
      throws IOException {
    for (long at = 0; at < most; at += BLOCK_FRAMES) {
      int frames = (int) Math.min(BLOCK_FRAMES, most - at);
      reader.read(k, at, frames, block, 0);
      for (int n = 0; n < frames; n++) {
        double level = Math.abs(block[0][n]);
        if (channels == 2) {
          level = Math.max(level, Math.abs(block[1][n]));
        }
        if (level >= SOUND_FROM) {
          return at + n;
        }
      }
    }
    return most;
  }

  /** What is lost, and what to do about it, in one line. */
  public String words(Session session) {
    double millis = 1000.0 / session.sampleRateHz();
    return String.format(
        Locale.ROOT,
        "'%s' is set %.2f ms earlier: %.2f ms of its sound lie before the start of the song and are"
            + " lost; %s",
        session.stems().get(stem).name(),
        earlierFrames * millis,
        (earlierFrames - silentFrames) * millis,
        silentFrames == 0
            ? "it has no silence to spare"
            : String.format(Locale.ROOT, "%.2f ms earlier loses none", silentFrames * millis));
  }
}
