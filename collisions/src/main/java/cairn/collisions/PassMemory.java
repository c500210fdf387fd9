package cairn.collisions;

import cairn.collisions.line.FirstPass;
import cairn.collisions.line.FirstPassMemory;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.WindowGrid;
import cairn.collisions.loudness.Metering;
import cairn.collisions.moment.MomentMemory;
import cairn.collisions.moment.OverLine;
import java.util.Optional;

/** Remembers both parts of an analysis: its first pass, and the moments over its line. */
public interface PassMemory extends FirstPassMemory, MomentMemory {

  /** Remembers nothing. */
  PassMemory NONE =
      new PassMemory() {
        @Override
        public Optional<FirstPass.Measured> find(
            Session session, WindowGrid grid, PeakMode mode, Metering metering) {
          return Optional.empty();
        }

        @Override
        public void keep(
            Session session, WindowGrid grid, PeakMode mode, FirstPass.Measured measured) {
          // Forgotten.
        }

        @Override
        public Optional<OverLine> findMoments(Session session, HeldLine line) {
          return Optional.empty();
        }

        @Override
        public void keepMoments(Session session, HeldLine line, OverLine found) {
          // Forgotten.
        }
      };
}
