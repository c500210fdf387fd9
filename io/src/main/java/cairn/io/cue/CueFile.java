package cairn.io.cue;

import cairn.collisions.cue.Cue;
import cairn.io.files.WholeFile;
import cairn.io.midi.MarkerFile;
import cairn.io.midi.MarkerGrid;
import java.io.IOException;
import java.io.OutputStream;
import java.io.OutputStreamWriter;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Collection;
import java.util.List;
import java.util.Objects;
import java.util.Optional;

/** Writes a cue list in one of its formats, whole or not at all. */
public final class CueFile {

  private CueFile() {}

  /**
   * How a sheet is written.
   *
   * @param format the file format
   * @param exactMidi whether MIDI markers are on their samples also where the tempo is known
   * @param sound what a WAVE file sounds like; empty: silence
   */
  public record How(CueFormat format, boolean exactMidi, Optional<CueWave.Sound> sound) {
    public How {
      Objects.requireNonNull(format, "format");
      Objects.requireNonNull(sound, "sound");
    }
  }

  /**
   * Writes a sheet.
   *
   * @param target the file; its folder must be there
   * @param force whether an existing file may be replaced
   * @param inputs files that are never replaced
   * @throws IOException if it cannot be written; the old file is as it was
   */
  public static void write(
      CueSheet sheet, How how, Path target, boolean force, Collection<Path> inputs)
      throws IOException {
    WholeFile.write(target, force, inputs, out -> write(sheet, how, out));
  }

  private static void write(CueSheet sheet, How how, OutputStream out) throws IOException {
    switch (how.format()) {
      case MIDI -> MarkerFile.write(markers(sheet), grid(sheet, how), out);
      case WAVE -> CueWave.write(sheet, how.sound(), out);
      case CSV, JSON, TEXT -> {
        Writer text = new OutputStreamWriter(out, StandardCharsets.UTF_8);
        writeText(sheet, how.format(), text);
        text.flush();
      }
    }
  }

  private static void writeText(CueSheet sheet, CueFormat format, Writer out) throws IOException {
    if (format == CueFormat.CSV) {
      CueCsv.write(sheet, out);
    } else if (format == CueFormat.JSON) {
      CueJson.write(sheet, out);
    } else {
      for (String line : CueText.lines(sheet)) {
        out.write(line);
        out.write('\n');
      }
    }
  }

  /** The grid that a sheet's MIDI markers are put on. */
  public static MarkerGrid grid(CueSheet sheet, How how) throws IOException {
    return sheet.tempo().isPresent() && !how.exactMidi()
        ? MarkerGrid.ofTempo(sheet.tempo().get(), sheet.sampleRateHz())
        : MarkerGrid.ofSamples(sheet.sampleRateHz());
  }

  /** How far, in frames, the MIDI marker lies beside its cue that lies furthest beside it. */
  public static double worstErrorFrames(CueSheet sheet, How how) throws IOException {
    MarkerGrid grid = grid(sheet, how);
    return sheet.list().cues().stream()
        .mapToDouble(cue -> Math.abs(grid.errorFrames(cue.frame())))
        .max()
        .orElse(0);
  }

  private static List<MarkerFile.Marker> markers(CueSheet sheet) {
    return sheet.list().cues().stream()
        .map((Cue cue) -> new MarkerFile.Marker(cue.frame(), cue.text()))
        .toList();
  }
}
