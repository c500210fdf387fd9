package cairn.tui.command;

import cairn.collisions.Session;
import cairn.collisions.plan.LeaveAlone;
import cairn.io.stems.StemSet;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Which stems no fix may touch. */
final class FixOptions {

  @Spec(Spec.Target.MIXEE)
  private CommandSpec spec;

  @Option(
      names = "--keep",
      paramLabel = "NAME",
      description = "Leave a stem alone: no fix touches it. May be a pattern.")
  private List<String> keep = List.of();

  /** Indices of the stems to leave alone. */
  private Set<Integer> leftAlone(StemNames names) {
    Set<Integer> found = new HashSet<>();
    for (String typed : keep) {
      found.addAll(names.find("--keep", typed));
    }
    return found;
  }

  /**
   * The same, where none of them is yoked: it would move with the others.
   *
   * @param session the stems with their yokes
   */
  Set<Integer> leftAlone(StemNames names, Session session) {
    Set<Integer> found = leftAlone(names);
    for (int k : found) {
      if (session.yokes().isYoked(k)) {
        int other = session.yokes().othersOf(k).get(0);
        throw new ParameterException(
            spec.commandLine(),
            String.format(
                "'%s' is left alone, but would move with '%s', to which it is yoked: leave out its"
                    + " --keep or its --yoke",
                session.stems().get(k).name(), session.stems().get(other).name()));
      }
    }
    return found;
  }

  /** As a shell takes it for one word, whatever is in it (POSIX.1-2017, XCU 2.2.2). */
  private static String quoted(String name) {
    return "'" + name.replace("'", "'\\''") + "'";
  }

  /** Says which stems sound like voices and are not left alone; a suggestion, never assumed. */
  static void suggest(Console console, StemSet set, Set<Integer> leftAlone) {
    List<Integer> voices =
        LeaveAlone.suggest(set.toSession().stems()).stream()
            .filter(k -> !leftAlone.contains(k))
            .toList();
    if (!voices.isEmpty()) {
      console.note(
          "fixes may touch "
              + voices.stream()
                  .map(k -> set.stems().get(k).name())
                  .collect(Collectors.joining(", "))
              + ", a voice by its name; to leave it alone: "
              + voices.stream()
                  .map(k -> "--keep " + quoted(set.stems().get(k).name()))
                  .collect(Collectors.joining(" ")));
    }
  }
}
