package cairn.tui.effect;

import cairn.collisions.PassMemory;
import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.line.FirstPass;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.WindowGrid;
import cairn.collisions.loudness.Metering;
import cairn.collisions.moment.OverLine;
import java.util.Optional;

/** Another memory, and the first pass that was found or made last: only a line differs then. */
final class Remembered implements PassMemory {

  private record Last(
      Session session,
      WindowGrid grid,
      PeakMode mode,
      Metering metering,
      FirstPass.Measured measured) {}

  private final PassMemory other;
  private Optional<Last> last = Optional.empty();

  Remembered(PassMemory other) {
    this.other = other;
  }

  @Override
  public Optional<FirstPass.Measured> find(
      Session session, WindowGrid grid, PeakMode mode, Metering metering) {
    Optional<FirstPass.Measured> known =
        last.filter(
                l ->
                    l.session.equals(session)
                        && isSame(l.grid, grid)
                        && l.mode == mode
                        && l.metering == metering)
            .map(Last::measured)
            .or(() -> other.find(session, grid, mode, metering));
    known.ifPresent(m -> last = Optional.of(new Last(session, grid, mode, metering, m)));
    return known;
  }

  @Override
  public void keep(Session session, WindowGrid grid, PeakMode mode, FirstPass.Measured measured) {
    Metering metering =
        measured
            .loudness()
            .map(l -> l.stems() > 0 ? Metering.STEMS : Metering.BUS)
            .orElse(Metering.NONE);
    last = Optional.of(new Last(session, grid, mode, metering, measured));
    other.keep(session, grid, mode, measured);
  }

  @Override
  public Optional<OverLine> findMoments(Session session, HeldLine line) {
    return other.findMoments(session, line);
  }

  @Override
  public void keepMoments(Session session, HeldLine line, OverLine found) {
    other.keepMoments(session, line, found);
  }

  private static boolean isSame(WindowGrid a, WindowGrid b) {
    boolean same = a.windows() == b.windows() && a.range().equals(b.range());
    for (int j = 0; same && j < a.windows(); j++) {
      same = a.firstFrame(j) == b.firstFrame(j);
    }
    return same;
  }
}
