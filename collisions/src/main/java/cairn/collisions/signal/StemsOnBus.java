package cairn.collisions.signal;

import java.io.IOException;

/** The stems as they stand on the bus, {@code y_k}: definitions.md, 1. For one thread. */
@FunctionalInterface
public interface StemsOnBus {

  /**
   * Writes {@code y[0 : 2][0 : frames]}, stem {@code k} from {@code firstFrame} on; silence where
   * it has no samples or is not on the bus.
   */
  void stemOnBus(int k, long firstFrame, int frames, double[][] y) throws IOException;
}
