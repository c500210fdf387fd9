package cairn.demo;

import java.util.Locale;

/** The parts of the song, their first bar (from 0), length in bars and level against the drops. */
enum Part {
  GATHER(0, 4, -6),
  VERSE(4, 6, -4),
  MARCH(10, 4, -3),
  DROP(14, 6, 0),
  SQUARE(20, 4, -4),
  BUILD(24, 2, -2),
  DROP_TWO(26, 14, 0),
  HOME(40, 4, -6);

  final int firstBar;
  final int bars;
  final double levelDb;

  Part(int firstBar, int bars, double levelDb) {
    this.firstBar = firstBar;
    this.bars = bars;
    this.levelDb = levelDb;
  }

  int endBar() {
    return firstBar + bars;
  }

  boolean loud() {
    return this == DROP || this == DROP_TWO;
  }

  /** The part that a bar lies in; bars beyond the end belong to the last. */
  static Part of(int bar) {
    for (Part part : values()) {
      if (bar < part.endBar()) {
        return part;
      }
    }
    return HOME;
  }

  /** {@code drop two}. */
  String title() {
    return name().toLowerCase(Locale.ROOT).replace('_', ' ');
  }
}
