package cairn.tui.model;

import cairn.collisions.port.Progress;

/**
 * How far long work has come.
 *
 * @param step what is being done
 * @param done units done
 * @param total units in all
 * @param bytesPerSecond throughput of reading; 0: not known
 * @param secondsLeft time left; negative: not known
 */
public record Work(
    Progress.Step step, long done, long total, double bytesPerSecond, double secondsLeft) {}
