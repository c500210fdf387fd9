package cairn.tui.view;

import cairn.collisions.Decibels;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.time.ClockTime;
import cairn.io.listing.Figures;

/** Figures as the screens show them. */
final class Words {

  /** From so many minutes on a time leaves its last digit out, so that it fits its column. */
  private static final int LONG_SONG_MINUTES = 100;

  private Words() {}

  /** A linear level in dB with two decimals; of 0: a dash. */
  static String level(double linear) {
    return Figures.db(linear, 2);
  }

  /** A linear level in dB with one decimal; of 0: a dash. */
  static String level1(double linear) {
    return Figures.db(linear, 1);
  }

  /** Decibels between two linear levels in at most four characters: {@code +2.1}, {@code +20}. */
  static String between(double from, double to) {
    return step(Decibels.ofAmplitude(to / from));
  }

  /** A difference in four characters: {@code +5.4}, {@code -12}. */
  static String step(double db) {
    return Figures.signed(db, Math.abs(db) < 9.95 ? 1 : 0);
  }

  /** Excess in five characters: {@code +5.17}, {@code +12.3}. */
  static String excess(double db) {
    return Figures.signed(db, Math.abs(db) < 9.995 ? 2 : 1);
  }

  /** A length in ms in three characters: {@code .02}, {@code 0.9}, {@code 140}. */
  static String millis(double frames, int sampleRateHz) {
    double millis = 1000.0 * frames / sampleRateHz;
    if (millis > 0 && millis < 0.095) {
      return Figures.fixed(Math.max(0.01, millis), 2).substring(1);
    }
    return Figures.fixed(millis, millis < 9.95 ? 1 : 0);
  }

  /** A length in ms with two decimals. */
  static String finely(double frames, int sampleRateHz) {
    return Figures.fixed(1000.0 * frames / sampleRateHz, 2);
  }

  /** A length in ms in at most five characters. */
  static String offset(long frames, int sampleRateHz) {
    double millis = 1000.0 * frames / sampleRateHz;
    return Figures.fixed(millis, millis < 99.995 ? 2 : millis < 999.95 ? 1 : 0);
  }

  /** m:ss.mmm of a frame. */
  static String time(long frame, int sampleRateHz) {
    String time = ClockTime.of(frame, sampleRateHz);
    return time.indexOf(':') > String.valueOf(LONG_SONG_MINUTES - 1).length()
        ? time.substring(0, time.length() - 1)
        : time;
  }

  /** m:ss of a frame. */
  static String clock(long frame, int sampleRateHz) {
    long seconds = Math.floorDiv(frame, sampleRateHz);
    long rest = seconds % 60;
    return seconds / 60 + (rest < 10 ? ":0" : ":") + rest;
  }

  /** {@code 0.15 ms later}, {@code trim -1.2 dB}, {@code clip at -10.6 dBFS}. */
  static String fix(Fix fix, int sampleRateHz) {
    if (fix instanceof Nudge nudge) {
      return finely(Math.abs(nudge.frames()), sampleRateHz)
          + (nudge.frames() > 0 ? " ms later" : " ms earlier");
    }
    return fix instanceof Trim trim
        ? "trim " + Figures.fixed(-trim.db(), 1) + " dB"
        : "clip at " + Figures.fixed(((Clip) fix).ceilingDb(), 1) + " dBFS";
  }

  /** {@code 1 fix}, {@code 2 fixes}. */
  static String fixes(int count) {
    return count + (count == 1 ? " fix" : " fixes");
  }
}
