package cairn.io.stems;

import java.io.IOException;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;

/**
 * All that lies in a folder of stems, with what would be refused.
 *
 * @param folder the folder that all stems lie in, absolute
 * @param stems all that can be opened, of whatever rate, in session order
 * @param usable those of the most common rate, each at its place; with it they are a session
 * @param refused why files cannot be used; each message is one line that names the file
 * @param skipped what is no stem, in the order of paths
 * @param notes what was found or done on the way
 */
public record Survey(
    Path folder,
    List<StemFile> stems,
    List<StemFile> usable,
    List<IOException> refused,
    List<Skipped> skipped,
    List<Note> notes) {

  public Survey {
    Objects.requireNonNull(folder, "folder");
    stems = List.copyOf(stems);
    usable = List.copyOf(usable);
    refused = List.copyOf(refused);
    skipped = List.copyOf(skipped);
    notes = List.copyOf(notes);
  }

  /** The most common sample rate in Hz, of the first stem on a tie; 0 if there is no stem. */
  static int mostCommonRateHz(List<StemFile> stems) {
    Map<Integer, Integer> counts = new HashMap<>();
    stems.forEach(stem -> counts.merge(stem.format().sampleRateHz(), 1, Integer::sum));
    int most = 0;
    for (StemFile stem : stems) {
      int rate = stem.format().sampleRateHz();
      if (most == 0 || counts.get(rate) > counts.get(most)) {
        most = rate;
      }
    }
    return most;
  }

  /** The usable stems as a set; empty if there is none. */
  public Optional<StemSet> toSet() {
    return set(usable);
  }

  /** Some of the usable stems as a set; empty if there is none. */
  public Optional<StemSet> set(List<StemFile> some) {
    return some.isEmpty()
        ? Optional.empty()
        : Optional.of(
            new StemSet(folder, some.get(0).format().sampleRateHz(), some, skipped, notes));
  }
}
