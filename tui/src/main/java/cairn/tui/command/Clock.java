package cairn.tui.command;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.TypeConversionException;

/**
 * A time as it is typed: {@code 1:54}, {@code 1:54.250}, {@code 0:01:54}, {@code 114.25} seconds.
 *
 * @param seconds exact
 */
record Clock(BigDecimal seconds) {

  private static final Pattern FORM =
      Pattern.compile("(?:(?:(\\d{1,3}):)?(\\d{1,4}):)?(\\d{1,9}(?:\\.\\d{1,9})?)");
  private static final BigDecimal SIXTY = BigDecimal.valueOf(60);

  static Clock of(String text) {
    Matcher form = FORM.matcher(text.strip());
    if (!form.matches()) {
      throw new TypeConversionException(
          "'" + text + "' is no time; write 1:54, 1:54.250 or seconds such as 114.25");
    }
    BigDecimal seconds = new BigDecimal(form.group(3));
    if (form.group(2) != null && seconds.compareTo(SIXTY) >= 0) {
      throw new TypeConversionException("'" + text + "' has 60 seconds or more in a minute");
    }
    if (form.group(2) != null) {
      seconds = seconds.add(new BigDecimal(form.group(2)).multiply(SIXTY));
    }
    if (form.group(1) != null) {
      seconds = seconds.add(new BigDecimal(form.group(1)).multiply(BigDecimal.valueOf(3600)));
    }
    return new Clock(seconds);
  }

  /** The nearest frame, half up. */
  long frame(int sampleRateHz) {
    return seconds
        .multiply(BigDecimal.valueOf(sampleRateHz))
        .setScale(0, RoundingMode.HALF_UP)
        .longValueExact();
  }

  /** For picocli. */
  static final class Converter implements ITypeConverter<Clock> {
    @Override
    public Clock convert(String text) {
      return Clock.of(text);
    }
  }

  /**
   * From one time to a later one: {@code 1:54-2:48}.
   *
   * @param from where it starts
   * @param to where it ends
   */
  record Span(Clock from, Clock to) {

    static Span of(String text) {
      int dash = text.indexOf('-');
      if (dash < 0) {
        throw new TypeConversionException(
            "'" + text + "' is no stretch of time; write FROM-TO, such as 1:54-2:48");
      }
      Span span = new Span(Clock.of(text.substring(0, dash)), Clock.of(text.substring(dash + 1)));
      if (span.to.seconds.compareTo(span.from.seconds) <= 0) {
        throw new TypeConversionException("'" + text + "' ends before it starts");
      }
      return span;
    }

    /** For picocli. */
    static final class Converter implements ITypeConverter<Span> {
      @Override
      public Span convert(String text) {
        return Span.of(text);
      }
    }
  }
}
