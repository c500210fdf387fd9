package cairn.collisions.port;

/** Is told, slice by slice and in order, what part of a block has just been written. */
@FunctionalInterface
public interface SliceTaker {
  /**
   * Takes a slice.
   *
   * @param from first frame of the block that was written
   * @param to frame of the block after the last one
   */
  void take(int from, int to);
}
