package cairn.io.cue;

import cairn.collisions.cue.Cue;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.wave.CueChunks;
import cairn.io.wave.WaveLayout;
import java.io.IOException;
import java.io.OutputStream;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * Cues as points of a WAVE file as long as the session. Each cue is a point on its moment, with its
 * text as label and the rest as note; where there is a stretch to cut, a second point of the same
 * label begins a region there.
 */
public final class CueWave {

  /** From memory of a library's source: files with more points are read without any. */
  public static final int MANY_POINTS = 2500;

  private static final int PIECE_FRAMES = 32_768;

  private CueWave() {}

  /** What the file sounds like. */
  @FunctionalInterface
  public interface Sound {
    /** Writes {@code into[0 : 2][0 : frames]}, the session from {@code firstFrame} on. */
    void read(long firstFrame, int frames, double[][] into) throws IOException;
  }

  /** Number of points that the file will have. */
  public static int points(CueSheet sheet) {
    return points(sheet.list().cues()).size();
  }

  /**
   * Writes the file and leaves the stream open.
   *
   * @param sound the bus, written as 32-bit float in stereo; empty: silence, 16 bit mono
   * @throws IOException if a cue lies where the format can name no sample, or as {@code sound} says
   */
  public static void write(CueSheet sheet, Optional<Sound> sound, OutputStream out)
      throws IOException {
    List<Cue> cues = sheet.list().cues();
    if (!cues.isEmpty() && cues.get(cues.size() - 1).endFrame() > CueChunks.LAST_FRAME) {
      throw new IOException(
          "a WAVE file has no room for cues past sample "
              + CueChunks.LAST_FRAME
              + "; write them as CSV, JSON or text");
    }
    long frames = sheet.list().session().frames();
    byte[] chunks = CueChunks.of(points(cues));
    int channels = sound.isPresent() ? 2 : 1;
    LinearCoding coding =
        sound.isPresent() ? LinearCoding.FLOAT_32_LITTLE : LinearCoding.PCM_16_LITTLE;
    WaveLayout layout =
        WaveLayout.plain(coding, sheet.sampleRateHz(), channels, frames).withLater(chunks.length);
    // Not closed: that would close the stream.
    LinearSoundWriter writer = layout.writeTo(out);
    double[][] block = new double[channels][PIECE_FRAMES];
    for (long at = 0; at < frames; at += PIECE_FRAMES) {
      int count = (int) Math.min(PIECE_FRAMES, frames - at);
      if (sound.isPresent()) {
        sound.get().read(at, count, block);
      }
      writer.write(block, 0, count);
    }
    out.write(chunks);
  }

  private static List<CueChunks.Point> points(List<Cue> cues) {
    List<CueChunks.Point> points = new ArrayList<>();
    for (Cue cue : cues) {
      points.add(new CueChunks.Point(cue.frame(), cue.text(), Optional.of(note(cue)), 0));
      points.add(
          new CueChunks.Point(
              cue.fromFrame(), cue.text(), Optional.empty(), cue.endFrame() - cue.fromFrame()));
    }
    return points;
  }

  private static String note(Cue cue) {
    List<String> parts = new ArrayList<>();
    cue.rank().ifPresent(rank -> parts.add("rank " + rank));
    cue.excessDb()
        .ifPresent(excess -> parts.add(Figures.fixed(excess, 1) + " dB over the average"));
    if (cue.alike() > 1) {
      parts.add("one of " + cue.alike() + " alike");
    }
    if (cue.done()) {
      parts.add("done");
    }
    cue.note().ifPresent(note -> parts.add(SafeText.of(note)));
    return String.join(", ", parts);
  }
}
