package cairn.collisions.check;

import cairn.collisions.Session;
import cairn.collisions.port.StemSource;
import java.util.Objects;

/**
 * A bounced mix, and where it lies: frame {@code n + lagFrames} of it belongs to frame n of the
 * bus.
 *
 * @param session the mix as the only stem of a session
 * @param source where its samples come from
 * @param lagFrames frames by which it is later than the stems
 */
public record PlacedPrint(Session session, StemSource source, long lagFrames) {
  public PlacedPrint {
    Objects.requireNonNull(session, "session");
    Objects.requireNonNull(source, "source");
  }

  long frames() {
    return session.frames();
  }
}
