package cairn.io.cue;

import cairn.collisions.cue.Cue;
import cairn.collisions.cue.CueList;
import cairn.collisions.time.TempoMap;
import java.util.Objects;
import java.util.Optional;

/**
 * A cue list to be written.
 *
 * @param name what it is the list of, safe to show
 * @param list the cues
 * @param tempo the song's tempo, where it is known
 */
public record CueSheet(String name, CueList list, Optional<TempoMap> tempo) {
  public CueSheet {
    Objects.requireNonNull(name, "name");
    Objects.requireNonNull(list, "list");
    Objects.requireNonNull(tempo, "tempo");
  }

  int sampleRateHz() {
    return list.session().sampleRateHz();
  }

  double seconds(Cue cue) {
    return (double) cue.frame() / sampleRateHz();
  }
}
