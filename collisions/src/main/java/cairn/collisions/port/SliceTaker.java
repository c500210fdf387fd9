package cairn.collisions.port;

/** Is told, slice by slice and in order, what part of a block has just been written. */
@FunctionalInterface
public interface SliceTaker {

  /** In place of a peak that the reader has not found along the way. */
  double UNKNOWN = -1;

  /**
   * Takes a slice.
   *
   * @param from first frame of the block that was written
   * @param to frame of the block after the last one
   * @param peak largest absolute value of the slice in all of the stem's channels, or {@link
   *     #UNKNOWN}
   */
  void take(int from, int to, double peak);
}
