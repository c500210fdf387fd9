package cairn.tui.command;

import cairn.io.files.SafeText;
import cairn.io.stems.StemFile;
import java.util.List;
import java.util.Locale;
import java.util.function.Predicate;
import java.util.function.Supplier;
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

  private final Supplier<CommandLine> commandLine;
  private final List<StemFile> stems;

  /**
   * @param commandLine the command line, asked for where a name is none
   */
  StemNames(Supplier<CommandLine> commandLine, List<StemFile> stems) {
    this.commandLine = commandLine;
    this.stems = stems;
  }

  /**
   * Indices of the stems that are meant, at least one.
   *
   * @param option the option, for the message
   */
  List<Integer> find(String option, String typed) {
    // Names are kept in the form that is safe to show; typed may be either form.
    String safe = SafeText.of(typed);
    List<Integer> exact = where(stem -> stem.name().equals(typed) || stem.name().equals(safe));
    if (!exact.isEmpty()) {
      return exact;
    }
    List<Pattern> patterns = List.of(pattern(typed), pattern(safe));
    // A pattern without a folder is for names first: the ending is no part of a name, and 'surdo?*'
    // must not find surdo.wav by its dot.
    List<Integer> found =
        where(
            stem ->
                matches(patterns, stem.name())
                    || (typed.contains("/") && matches(patterns, stem.relativePath())));
    if (found.isEmpty()) {
      found = where(stem -> matches(patterns, stem.relativePath()));
    }
    if (found.isEmpty()) {
      throw new NoSuchStem(
          commandLine.get(), option + ": no stem is called '" + safe + "'; " + known(typed));
    }
    return found;
  }

  /** No stem is meant by what was typed; the message is safe to show. */
  static final class NoSuchStem extends ParameterException {
    private static final long serialVersionUID = 1L;

    private NoSuchStem(CommandLine commandLine, String message) {
      super(commandLine, message);
    }
  }

  private List<Integer> where(Predicate<StemFile> wanted) {
    return IntStream.range(0, stems.size()).filter(k -> wanted.test(stems.get(k))).boxed().toList();
  }

  private static boolean matches(List<Pattern> patterns, String text) {
    return patterns.stream().anyMatch(pattern -> pattern.matcher(text).matches());
  }

  private static Pattern pattern(String typed) {
    StringBuilder regex = new StringBuilder();
    // By code points: a character beyond the first 65536 is one, also for a question mark.
    typed
        .codePoints()
        .forEach(
            c ->
                regex.append(
                    c == '*' ? ".*" : c == '?' ? "." : Pattern.quote(Character.toString(c))));
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
