package cairn.collisions.signal;

/** Listens to stems as they are summed; for one thread. */
public interface StemTap {

  /** Takes note of nothing. */
  StemTap NONE =
      new StemTap() {
        @Override
        public boolean listens() {
          return false;
        }

        @Override
        public void take(
            int stem, double[] left, double[] right, int from, int to, int frames, double peak) {}
      };

  /** Whether anything is done with what {@link #take} is given; else it need not be called. */
  default boolean listens() {
    return true;
  }

  /**
   * Takes a block of one stem, as it is in its file, before any fader.
   *
   * @param left samples at {@code [from, to)}; what is outside of them in {@code [0, frames)} is
   *     silence
   * @param right the same; {@code left} itself for a mono stem
   * @param from first frame of the block that lies in the file
   * @param to frame after the last one; {@code from} if none does
   * @param frames length of the block
   * @param peak its largest absolute sample
   */
  void take(int stem, double[] left, double[] right, int from, int to, int frames, double peak);
}
