package cairn.io.midi;

import cairn.collisions.time.TempoMap;
import cairn.io.files.SafeText;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.ToDoubleFunction;

/** Reads tempo and meter from a Standard MIDI File. */
public final class TempoMapFile {

  /** Larger than any song; a bound on what a wrong file can cost. */
  private static final int MOST_BYTES = 32 << 20;

  private final Path path;
  private final ByteBuffer bytes;
  private final TreeMap<Long, Integer> tempoMicros = new TreeMap<>();
  private final TreeMap<Long, int[]> meters = new TreeMap<>();

  private TempoMapFile(Path path, ByteBuffer bytes) {
    this.path = path;
    this.bytes = bytes;
  }

  /**
   * What a file tells.
   *
   * @param map tempo and meter
   * @param tellsTempo whether a tempo stands in it; else it is 120 quarter notes a minute
   * @param tellsMeter whether a meter stands in it; else it is 4/4
   */
  public record Found(TempoMap map, boolean tellsTempo, boolean tellsMeter) {}

  /** A file that tells no tempo; one line: which, what, what to do. */
  public static final class NoTempoMap extends IOException {
    private static final long serialVersionUID = 1L;

    NoTempoMap(Path path, String what) {
      super("'" + SafeText.of(path.getFileName()) + "' " + what);
    }
  }

  /**
   * Reads a file.
   *
   * @param barOneSeconds time of its first tick, bar 1, beat 1
   * @throws NoTempoMap if it is no such file, or damaged
   * @throws IOException if it cannot be read
   */
  public static Found read(Path path, double barOneSeconds) throws IOException {
    byte[] all;
    try (InputStream in = Files.newInputStream(path)) {
      all = in.readNBytes(MOST_BYTES + 1);
    }
    if (all.length > MOST_BYTES) {
      throw new NoTempoMap(path, "is larger than any tempo map (32 MiB); name a MIDI file");
    }
    return new TempoMapFile(path, ByteBuffer.wrap(all)).parse(barOneSeconds);
  }

  private NoTempoMap damaged(String what) {
    return new NoTempoMap(path, what + "; export it again");
  }

  private Found parse(double barOneSeconds) throws NoTempoMap {
    if (bytes.remaining() < 14 || !fourCc().equals(MidiNames.HEADER)) {
      throw new NoTempoMap(path, "is no Standard MIDI File; export the tempo map as one");
    }
    long headerBytes = u32();
    int format = u16();
    int tracks = u16();
    int division = u16();
    if (headerBytes < 6 || headerBytes - 6 > bytes.remaining()) {
      throw damaged("has a header of " + headerBytes + " bytes");
    }
    bytes.position(bytes.position() + (int) headerBytes - 6);
    if ((division & 0x8000) != 0) {
      throw new NoTempoMap(
          path, "counts time code frames, not beats; export it with ticks a quarter note");
    }
    if (division == 0) {
      throw damaged("has no ticks a quarter note");
    }
    int found = 0;
    while (bytes.remaining() >= 8) {
      String id = fourCc();
      long size = u32();
      if (size > bytes.remaining()) {
        throw damaged(
            "is cut off: a track says " + size + " bytes, " + bytes.remaining() + " are there");
      }
      int end = bytes.position() + (int) size;
      if (id.equals(MidiNames.TRACK) && (format != 2 || found == 0)) {
        readTrack(end);
        found++;
      }
      bytes.position(end);
    }
    if (found == 0) {
      throw damaged("holds no track, and says " + tracks);
    }
    return found(division, barOneSeconds);
  }

  private Found found(int division, double barOneSeconds) throws NoTempoMap {
    List<TempoMap.Tempo> tempos = new ArrayList<>();
    List<TempoMap.Meter> found = new ArrayList<>();
    try {
      for (Map.Entry<Long, Integer> each : tempoMicros.entrySet()) {
        tempos.add(
            new TempoMap.Tempo(
                (double) each.getKey() / division, MidiNames.MICROS_A_MINUTE / each.getValue()));
      }
      for (Map.Entry<Long, int[]> each : meters.entrySet()) {
        found.add(
            new TempoMap.Meter(
                (double) each.getKey() / division, each.getValue()[0], each.getValue()[1]));
      }
      fromZero(
          tempos,
          TempoMap.Tempo::quarter,
          new TempoMap.Tempo(0, MidiNames.MICROS_A_MINUTE / MidiNames.DEFAULT_TEMPO_MICROS));
      fromZero(found, TempoMap.Meter::quarter, new TempoMap.Meter(0, 4, 4));
      return new Found(
          new TempoMap(tempos, found, barOneSeconds), !tempoMicros.isEmpty(), !meters.isEmpty());
    } catch (IllegalArgumentException e) {
      throw damaged("cannot be a tempo map: " + e.getMessage());
    }
  }

  /** What holds before the first event is the standard's default. */
  private static <T> void fromZero(List<T> changes, ToDoubleFunction<T> quarter, T first) {
    if (changes.isEmpty() || quarter.applyAsDouble(changes.get(0)) > 0) {
      changes.add(0, first);
    }
  }

  private void readTrack(int end) throws NoTempoMap {
    long tick = 0;
    int status = 0;
    while (bytes.position() < end) {
      tick += number(end);
      int next = u8(end);
      if (next == MidiNames.META) {
        int type = u8(end);
        int length = number(end);
        if (length > end - bytes.position()) {
          throw damaged("is cut off within an event at tick " + tick);
        }
        int after = bytes.position() + length;
        if (type == MidiNames.END_OF_TRACK) {
          return;
        }
        note(type, length, tick);
        bytes.position(after);
      } else if (next == 0xF0 || next == 0xF7) {
        int length = number(end);
        if (length > end - bytes.position()) {
          throw damaged("is cut off within an event at tick " + tick);
        }
        bytes.position(bytes.position() + length);
        status = 0;
      } else {
        int more = 1;
        if (next >= 0x80) {
          status = next;
        } else {
          more = 0; // the status before holds, and this was its first byte
        }
        int kind = status & 0xF0;
        if (status < 0x80 || kind == 0xF0) {
          throw damaged("holds something that is no MIDI event at tick " + tick);
        }
        more += kind == 0xC0 || kind == 0xD0 ? 0 : 1;
        for (int i = 0; i < more; i++) {
          u8(end);
        }
      }
    }
  }

  private void note(int type, int length, long tick) throws NoTempoMap {
    if (type == MidiNames.TEMPO && length >= 3) {
      int micros = (bytes.get() & 0xFF) << 16 | (bytes.get() & 0xFF) << 8 | (bytes.get() & 0xFF);
      if (micros == 0) {
        throw damaged("has a tempo without an end at tick " + tick);
      }
      tempoMicros.put(tick, micros);
    } else if (type == MidiNames.METER && length >= 2) {
      int beats = bytes.get() & 0xFF;
      int unit = bytes.get() & 0xFF;
      if (beats == 0 || unit > 6) {
        throw damaged("has a meter of " + beats + "/2^" + unit + " at tick " + tick);
      }
      meters.put(tick, new int[] {beats, 1 << unit});
    }
  }

  /** A number of variable length. */
  private int number(int end) throws NoTempoMap {
    int number = 0;
    for (int i = 0; i < 4; i++) {
      int next = u8(end);
      number = number << 7 | (next & 0x7F);
      if (next < 0x80) {
        return number;
      }
    }
    throw damaged("holds a number of more than four bytes");
  }

  private int u8(int end) throws NoTempoMap {
    if (bytes.position() >= end) {
      throw damaged("is cut off within a track");
    }
    return bytes.get() & 0xFF;
  }

  private int u16() {
    return bytes.getShort() & 0xFFFF;
  }

  private long u32() {
    return bytes.getInt() & 0xFFFF_FFFFL;
  }

  private String fourCc() {
    byte[] id = new byte[4];
    bytes.get(id);
    return new String(id, StandardCharsets.ISO_8859_1);
  }
}
