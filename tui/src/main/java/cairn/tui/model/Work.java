package cairn.tui.model;

import cairn.collisions.port.Progress;
import java.util.Optional;

/**
 * How far long work has come.
 *
 * @param step what is being done
 * @param done units done
 * @param total units in all
 * @param bytesPerSecond throughput of reading; 0: not known
 * @param secondsLeft time left; negative: not known
 * @param sums the bus as far as it is summed; empty: it is not summed in this work
 */
public record Work(
    Progress.Step step,
    long done,
    long total,
    double bytesPerSecond,
    double secondsLeft,
    Optional<Sums> sums) {

  /** Work that sums nothing. */
  public Work(
      Progress.Step step, long done, long total, double bytesPerSecond, double secondsLeft) {
    this(step, done, total, bytesPerSecond, secondsLeft, Optional.empty());
  }
}
