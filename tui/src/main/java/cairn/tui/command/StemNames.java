package cairn.tui.command;

import cairn.io.stems.StemFile;
import java.util.List;
import java.util.Locale;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import picocli.CommandLine;
import picocli.CommandLine.ParameterException;

/**
 * Finds stems by what was typed: a name, a path in the folder, or a pattern with {@code *} and
 * {@code ?}; upper and lower case are the same. A name that is one stem's exactly means that one
 * alone.
 */
final class StemNames {

  private final CommandLine commandLine;
  private final List<StemFile> stems;

  StemNames(CommandLine commandLine, List<StemFile> stems) {
    this.commandLine = commandLine;
    this.stems = stems;
  }

  /**
   * Indices of the stems that are meant, at least one.
   *
   * @param option the option, for the message
   */
  List<Integer> find(String option, String typed) {
    List<Integer> exact = where(stem -> stem.name().equals(typed));
    if (!exact.isEmpty()) {
      return exact;
    }
    Pattern pattern = pattern(typed);
    List<Integer> found =
        where(
            stem ->
                pattern.matcher(stem.name()).matches()
                    || pattern.matcher(stem.relativePath()).matches());
    if (found.isEmpty()) {
      throw new ParameterException(
          commandLine, option + ": no stem is called '" + typed + "'; " + known(typed));
    }
    return found;
  }

  private List<Integer> where(java.util.function.Predicate<StemFile> wanted) {
    return IntStream.range(0, stems.size()).filter(k -> wanted.test(stems.get(k))).boxed().toList();
  }

  private static Pattern pattern(String typed) {
    StringBuilder regex = new StringBuilder();
    for (int i = 0; i < typed.length(); i++) {
      char c = typed.charAt(i);
      regex.append(c == '*' ? ".*" : c == '?' ? "." : Pattern.quote(String.valueOf(c)));
    }
    return Pattern.compile(
        regex.toString(), Pattern.CASE_INSENSITIVE | Pattern.UNICODE_CASE | Pattern.DOTALL);
  }

  /** Names that hold what was typed, or the first ones. */
  private String known(String typed) {
    String lower = typed.toLowerCase(Locale.ROOT).replaceAll("[*?]", "");
    List<String> near =
        stems.stream()
            .map(StemFile::name)
            .filter(name -> !lower.isEmpty() && name.toLowerCase(Locale.ROOT).contains(lower))
            .toList();
    List<String> names = near.isEmpty() ? stems.stream().map(StemFile::name).toList() : near;
    String shown = names.stream().limit(8).collect(Collectors.joining(", "));
    return "the stems are "
        + shown
        + (names.size() > 8 ? " and " + (names.size() - 8) + " more" : "");
  }
}
