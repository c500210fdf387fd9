package cairn.io.listing;

import cairn.collisions.Decibels;
import java.util.Locale;

/** Numbers as text, always with a point, never with a negative zero. */
public final class Figures {

  private Figures() {}

  /** A number with fixed decimals. */
  public static String fixed(double number, int decimals) {
    String text = String.format(Locale.ROOT, "%." + decimals + "f", number);
    // -0.00 says nothing that 0.00 does not.
    return text.startsWith("-") && text.chars().noneMatch(c -> c >= '1' && c <= '9')
        ? text.substring(1)
        : text;
  }

  /** A number with fixed decimals and its sign, + too. */
  public static String signed(double number, int decimals) {
    String text = fixed(number, decimals);
    return text.startsWith("-") ? text : "+" + text;
  }

  /** A number with as many decimals as it needs, at least one, at most four. */
  public static String plain(double number) {
    return fixed(number, 4).replaceAll("(\\.\\d+?)0+$", "$1");
  }

  /** A linear level in dB, of 0: a dash. */
  public static String db(double level, int decimals) {
    return level > 0 ? fixed(Decibels.ofAmplitude(level), decimals) : "-";
  }

  /** A sample rate: {@code 48 kHz}, {@code 44.1 kHz}, {@code 8000.5}… never rounded. */
  public static String rate(int sampleRateHz) {
    return sampleRateHz % 100 == 0
        ? plain(sampleRateHz / 1000.0).replaceAll("\\.0$", "") + " kHz"
        : sampleRateHz + " Hz";
  }

  /** {@code 1 moment}, {@code 2 moments}. */
  public static String count(long number, String one) {
    return number + " " + one + (number == 1 ? "" : "s");
  }
}
