package cairn.io.stems;

import cairn.io.files.SafeText;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;

/**
 * A folder or set of stems that cannot be used as it is, which its user can mend. The message is
 * one line: what is wrong, where, and what to do. A single file that cannot be used is an {@link
 * cairn.io.sound.UnusableStem}.
 */
public abstract sealed class UnusableFolder extends IOException {

  private static final long serialVersionUID = 1L;

  private UnusableFolder(String message) {
    super(message);
  }

  private UnusableFolder(String message, IOException cause) {
    super(message, cause);
  }

  private static String quoted(Path path) {
    return "'" + SafeText.of(path) + "'";
  }

  /** There is nothing of that name. */
  public static final class NotThere extends UnusableFolder {
    private static final long serialVersionUID = 1L;

    NotThere(Path path) {
      super(quoted(path) + " does not exist; name a folder of stems, or the stems");
    }
  }

  /** A folder or file that the system does not let us read. */
  public static final class Unreadable extends UnusableFolder {
    private static final long serialVersionUID = 1L;

    Unreadable(Path path, IOException cause) {
      super(quoted(path) + " " + Reasons.of(cause), cause);
    }
  }

  /** Not one stem in what was named. */
  public static final class NoStems extends UnusableFolder {
    private static final long serialVersionUID = 1L;

    NoStems(Path folder, int skipped) {
      super(
          quoted(folder)
              + " holds no stems"
              + (skipped == 0
                  ? ""
                  : skipped == 1 ? " (1 file skipped)" : " (" + skipped + " files skipped)")
              + "; name a folder with WAVE, AIFF or FLAC files");
    }
  }

  /** A symbolic link by which a folder lies inside itself. */
  public static final class LinkLoop extends UnusableFolder {
    private static final long serialVersionUID = 1L;

    LinkLoop(Path folder, String link) {
      super(
          "'"
              + link
              + "' in "
              + quoted(folder)
              + " is a symbolic link that leads round in a circle; remove it, or name the stems"
              + " one by one");
    }
  }

  /** Stems of different sample rates. */
  public static final class RatesDiffer extends UnusableFolder {
    private static final long serialVersionUID = 1L;

    /** The sample rate in Hz of one stem, and how it is named. */
    record Rate(String stem, int sampleRateHz) {}

    /** Of all stems, in their order; those that differ from most are named. */
    RatesDiffer(List<Rate> rates) {
      super(message(rates));
    }

    private static String message(List<Rate> rates) {
      Map<Integer, List<String>> byRate = new LinkedHashMap<>();
      for (Rate rate : rates) {
        byRate.computeIfAbsent(rate.sampleRateHz(), r -> new ArrayList<>()).add(rate.stem());
      }
      int mostHz = rates.get(0).sampleRateHz();
      for (Map.Entry<Integer, List<String>> entry : byRate.entrySet()) {
        // The first one on a tie.
        if (entry.getValue().size() > byRate.get(mostHz).size()) {
          mostHz = entry.getKey();
        }
      }
      int most = byRate.remove(mostHz).size();
      StringBuilder message = new StringBuilder();
      byRate.forEach(
          (hz, stems) ->
              message
                  .append(Notes.listed(stems))
                  .append(stems.size() == 1 ? " has " : " have ")
                  .append(hz)
                  .append(" Hz, "));
      return message
          .append(most == 1 ? "the other stem " : "the other " + most + " stems ")
          .append(mostHz)
          .append(
              rates.size() - most == 1 ? " Hz; export it again at " : " Hz; export them again at ")
          .append(mostHz)
          .append(" Hz")
          .toString();
    }
  }

  /** More files than the system lets one program keep open. */
  public static final class TooManyFiles extends UnusableFolder {
    private static final long serialVersionUID = 1L;

    TooManyFiles(Path folder, int files, int opened, IOException cause) {
      super(
          quoted(folder)
              + String.format(
                  Locale.ROOT,
                  " has %d stem files, but the system lets only %d be open at once; raise that"
                      + " limit (ulimit -n), or sum some of the stems first",
                  files,
                  opened),
          cause);
    }
  }

  /** Time references so far apart that they cannot be of one song. */
  public static final class FarApart extends UnusableFolder {
    private static final long serialVersionUID = 1L;

    FarApart(String late, String early, double hours) {
      super(
          String.format(
              Locale.ROOT,
              "'%s' has a time reference %.1f hours after that of '%s'; a song is shorter: leave"
                  + " out --place timeref, or export it again",
              late,
              hours,
              early));
    }
  }
}
