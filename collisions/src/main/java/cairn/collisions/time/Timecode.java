package cairn.collisions.time;

import java.math.BigInteger;
import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;

/**
 * Time code as hours, minutes, seconds and pictures; SMPTE ST 12-1:2014. It counts pictures (the
 * standard's frames, called so here to tell them from samples), not seconds: at 23.976 and 29.97 a
 * second is 1.001 s long. Drop-frame leaves out the labels ;00 and ;01 at the start of each minute
 * but every tenth, so that 29.97 keeps to the clock; no picture is left out. A day has 24 hours,
 * then labels start again.
 */
public enum Timecode {
  FPS_23_976("23.976", 24_000, 1001, 24, false),
  FPS_24("24", 24, 1, 24, false),
  FPS_25("25", 25, 1, 25, false),
  FPS_29_97("29.97", 30_000, 1001, 30, false),
  FPS_29_97_DROP("29.97drop", 30_000, 1001, 30, true),
  FPS_30("30", 30, 1, 30, false);

  private static final Pattern LABEL =
      Pattern.compile("(\\d{1,2}):(\\d{1,2}):(\\d{1,2})([:;.,])(\\d{1,2})");

  /** Labels left out at the start of a minute. */
  private static final int DROPPED = 2;

  private final String text;
  private final long picturesNumerator;
  private final long picturesDenominator;
  private final int base;
  private final boolean drop;

  Timecode(String text, long numerator, long denominator, int base, boolean drop) {
    this.text = text;
    this.picturesNumerator = numerator;
    this.picturesDenominator = denominator;
    this.base = base;
    this.drop = drop;
  }

  /** The rate as it is typed and shown: {@code 23.976}, {@code 29.97drop}. */
  public String text() {
    return text;
  }

  /** Whether labels are left out. */
  public boolean isDrop() {
    return drop;
  }

  /** The rate that is meant; {@code 29.97df} and {@code 23.98} are understood too. */
  public static Optional<Timecode> named(String typed) {
    String name = typed.strip().toLowerCase(Locale.ROOT).replaceAll("[ -]", "");
    String plain =
        switch (name) {
          case "23.98", "23.976ndf" -> FPS_23_976.text;
          case "29.97df", "29.97d" -> FPS_29_97_DROP.text;
          case "29.97ndf", "29.97nd", "29.97nondrop" -> FPS_29_97.text;
          default -> name;
        };
    return Arrays.stream(values()).filter(rate -> rate.text.equals(plain)).findFirst();
  }

  /** All rates as they are typed, for messages. */
  public static String names() {
    return Arrays.stream(values()).map(Timecode::text).collect(Collectors.joining(", "));
  }

  /** Number of pictures of a day of labels. */
  public long picturesADay() {
    long minutes = 24 * 60;
    return minutes * 60 * base - (drop ? DROPPED * (minutes - minutes / 10) : 0);
  }

  /**
   * The label of picture {@code picture}, counted from 00:00:00:00 on; past a day, and before 0, it
   * goes round.
   */
  public String label(long picture) {
    long n = Math.floorMod(picture, picturesADay());
    if (drop) {
      long pictures10 = 10L * 60 * base - 9 * DROPPED;
      long pictures1 = 60L * base - DROPPED;
      long tens = n / pictures10;
      long rest = n % pictures10;
      n += 9 * DROPPED * tens;
      n += rest >= DROPPED ? DROPPED * ((rest - DROPPED) / pictures1) : 0;
    }
    long seconds = n / base;
    return String.format(
        Locale.ROOT,
        "%02d:%02d:%02d%s%02d",
        seconds / 3600,
        seconds / 60 % 60,
        seconds % 60,
        drop ? ";" : ":",
        n % base);
  }

  /**
   * The picture with that label, from 00:00:00:00 on.
   *
   * @param label {@code hh:mm:ss:ff}; before the pictures also a semicolon, full stop or comma
   * @throws IllegalArgumentException if it is none, or none of this rate; the message says why
   */
  public long picture(String label) {
    Matcher form = LABEL.matcher(label.strip());
    if (!form.matches()) {
      throw new IllegalArgumentException(
          "'" + label + "' is no time code; write hh:mm:ss:ff, such as 01:00:00:00");
    }
    int hours = Integer.parseInt(form.group(1));
    int minutes = Integer.parseInt(form.group(2));
    int seconds = Integer.parseInt(form.group(3));
    int pictures = Integer.parseInt(form.group(5));
    if (hours > 23 || minutes > 59 || seconds > 59 || pictures >= base) {
      throw new IllegalArgumentException(
          "'"
              + label
              + "' is no time code at "
              + text
              + ": hours go to 23, minutes and seconds to 59, frames to "
              + (base - 1));
    }
    long allMinutes = 60L * hours + minutes;
    if (drop && seconds == 0 && pictures < DROPPED && minutes % 10 != 0) {
      throw new IllegalArgumentException(
          "'"
              + label
              + "' does not exist in drop-frame: the minute begins with ;02; write that, or"
              + " name another rate");
    }
    return (allMinutes * 60 + seconds) * base
        + pictures
        - (drop ? DROPPED * (allMinutes - allMinutes / 10) : 0);
  }

  /**
   * The picture during which a sample sounds, rounded down: picture 0 begins with sample 0.
   *
   * @param frame sample, at least 0
   * @param sampleRateHz sample rate in Hz
   */
  public long pictureAt(long frame, int sampleRateHz) {
    return whole(frame, picturesNumerator, picturesDenominator * sampleRateHz)[0];
  }

  /**
   * The first sample of a picture, rounded up.
   *
   * @param picture at least 0
   * @param sampleRateHz sample rate in Hz
   */
  public long firstFrame(long picture, int sampleRateHz) {
    long[] whole = whole(picture, picturesDenominator * sampleRateHz, picturesNumerator);
    return whole[0] + (whole[1] == 0 ? 0 : 1);
  }

  /** Quotient and remainder of {@code n·times/by}, exact. */
  private static long[] whole(long n, long times, long by) {
    BigInteger[] both =
        BigInteger.valueOf(n)
            .multiply(BigInteger.valueOf(times))
            .divideAndRemainder(BigInteger.valueOf(by));
    return new long[] {both[0].longValueExact(), both[1].longValueExact()};
  }
}
