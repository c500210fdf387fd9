package cairn.io.midi;

import cairn.collisions.time.TempoMap;
import java.io.ByteArrayOutputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/** Writes a Standard MIDI File whose only track holds tempo, meter and markers. */
public final class MarkerFile {

  private static final String NAME = "Cues";

  private MarkerFile() {}

  /**
   * A marker.
   *
   * @param frame frame of the session, at least 0
   * @param text what it says
   */
  public record Marker(long frame, String text) {}

  /** An event at its tick; those of one tick keep their order. */
  private static final class Event {
    final long tick;
    final int type;
    final byte[] bytes;

    Event(long tick, int type, byte[] bytes) {
      this.tick = tick;
      this.type = type;
      this.bytes = bytes;
    }
  }

  /**
   * Writes the whole file and leaves the stream open.
   *
   * @param markers in any order; those of one tick stay in theirs
   */
  public static void write(List<Marker> markers, MarkerGrid grid, OutputStream out)
      throws IOException {
    List<Event> events = new ArrayList<>();
    events.add(new Event(0, MidiNames.TRACK_NAME, NAME.getBytes(StandardCharsets.US_ASCII)));
    TempoMap map = grid.map();
    for (TempoMap.Meter meter : map.meters()) {
      // The first meter and tempo hold from tick 0 on, also where that lies before bar 1.
      long tick = meter.quarter() == 0 ? 0 : grid.tickOf(meter.quarter());
      events.add(new Event(tick, MidiNames.METER, meter(meter)));
    }
    for (TempoMap.Tempo tempo : map.tempos()) {
      long tick = tempo.quarter() == 0 ? 0 : grid.tickOf(tempo.quarter());
      events.add(new Event(tick, MidiNames.TEMPO, tempo(MarkerGrid.tempoMicros(tempo))));
    }
    for (Marker marker : markers) {
      byte[] text = marker.text().getBytes(StandardCharsets.UTF_8);
      events.add(new Event(grid.tick(marker.frame()), MidiNames.MARKER, text));
    }
    events.sort(Comparator.comparingLong(event -> event.tick));
    byte[] track = track(events);
    DataOutputStream data = new DataOutputStream(out);
    data.writeBytes(MidiNames.HEADER);
    data.writeInt(6);
    data.writeShort(0);
    data.writeShort(1);
    data.writeShort(grid.ticksPerQuarter());
    data.writeBytes(MidiNames.TRACK);
    data.writeInt(track.length);
    data.write(track);
    data.flush();
  }

  private static byte[] track(List<Event> events) {
    ByteArrayOutputStream track = new ByteArrayOutputStream();
    long at = 0;
    for (Event event : events) {
      long gap = event.tick - at;
      while (gap > MidiNames.MOST_DELTA) {
        meta(track, MidiNames.MOST_DELTA, MidiNames.TEXT, new byte[0]);
        gap -= MidiNames.MOST_DELTA;
      }
      meta(track, (int) gap, event.type, event.bytes);
      at = event.tick;
    }
    meta(track, 0, MidiNames.END_OF_TRACK, new byte[0]);
    return track.toByteArray();
  }

  private static void meta(ByteArrayOutputStream to, int delta, int type, byte[] bytes) {
    putNumber(to, delta);
    to.write(MidiNames.META);
    to.write(type);
    putNumber(to, bytes.length);
    to.writeBytes(bytes);
  }

  /** A number of variable length, 0 to 0x0FFFFFFF. */
  static void putNumber(ByteArrayOutputStream to, int number) {
    for (int shift = 21; shift > 0; shift -= 7) {
      if (number >>> shift != 0) {
        to.write(0x80 | (number >>> shift & 0x7F));
      }
    }
    to.write(number & 0x7F);
  }

  private static byte[] meter(TempoMap.Meter meter) {
    // Clicks of a dotted beat where three make one, else of a beat: 24 MIDI clocks a quarter.
    boolean threes =
        meter.beatUnit() >= 8 && meter.beatsPerBar() % 3 == 0 && meter.beatsPerBar() > 3;
    int clocks = Math.max(1, 96 / meter.beatUnit() * (threes ? 3 : 1));
    return new byte[] {
      (byte) meter.beatsPerBar(),
      (byte) Integer.numberOfTrailingZeros(meter.beatUnit()),
      (byte) clocks,
      8
    };
  }

  private static byte[] tempo(long micros) {
    return new byte[] {(byte) (micros >> 16), (byte) (micros >> 8), (byte) micros};
  }
}
