package cairn.io.midi;

/** Names and numbers of Standard MIDI Files, for the reader and the writer. */
final class MidiNames {

  static final String HEADER = "MThd";
  static final String TRACK = "MTrk";

  static final int META = 0xFF;
  static final int TEXT = 0x01;
  static final int TRACK_NAME = 0x03;
  static final int MARKER = 0x06;
  static final int END_OF_TRACK = 0x2F;
  static final int TEMPO = 0x51;
  static final int METER = 0x58;

  static final int MOST_TICKS_PER_QUARTER = 0x7FFF;
  static final int MOST_DELTA = 0x0FFF_FFFF;
  static final int MOST_TEMPO_MICROS = 0xFF_FFFF;

  /** What a file without a tempo event has. */
  static final int DEFAULT_TEMPO_MICROS = 500_000;

  static final double MICROS_A_MINUTE = 60e6;

  private MidiNames() {}
}
