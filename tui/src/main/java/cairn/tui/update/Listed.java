package cairn.tui.update;

import cairn.collisions.moment.Moment;
import cairn.tui.model.Model;
import java.util.Comparator;
import java.util.List;
import java.util.stream.Stream;

/**
 * Which moment of the list a frame belongs to: a mark of a plan, or of an earlier pass, need not
 * stand at the very peak. It is the one in whose neighbourhood the frame lies, of two the nearer
 * span, the earlier on a tie; definitions.md, 4 and 5.
 */
final class Listed {

  private final List<Moment> inTime;
  private final long gapFrames;

  private Listed(List<Moment> inTime, long gapFrames) {
    this.inTime = inTime;
    this.gapFrames = gapFrames;
  }

  static Listed of(Model model) {
    return model
        .song()
        .map(
            song ->
                new Listed(
                    Stream.concat(
                            song.pass().moments().stream(),
                            song.earlier().stream().flatMap(e -> e.gone().stream()))
                        .sorted(Comparator.comparingLong(Moment::firstOver))
                        .toList(),
                    Math.round(0.035 * song.sampleRateHz())))
        .orElse(new Listed(List.of(), 0));
  }

  /** Peak frame of the moment that a frame belongs to; the frame itself if it belongs to none. */
  long frameOf(long frame) {
    int low = 0;
    int high = inTime.size();
    while (low < high) {
      int middle = (low + high) >>> 1;
      if (inTime.get(middle).firstOver() <= frame) {
        low = middle + 1;
      } else {
        high = middle;
      }
    }
    long nearest = gapFrames + 1;
    long found = frame;
    for (int i = Math.max(0, low - 1); i < Math.min(inTime.size(), low + 1); i++) {
      Moment moment = inTime.get(i);
      long away = Math.max(0, Math.max(moment.firstOver() - frame, frame - moment.lastOver()));
      if (away < nearest) {
        nearest = away;
        found = moment.peakFrame();
      }
    }
    return found;
  }
}
