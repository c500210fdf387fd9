package cairn.io.flac;

/** A frame that cannot be decoded. Kept inside the package, which turns it into a message. */
final class BrokenFrame extends Exception {

  private static final long serialVersionUID = 1L;

  /** Whether the frame runs past the bytes at hand, so that more bytes may mend it. */
  private final boolean cutOff;

  private BrokenFrame(String reason, boolean cutOff) {
    super(reason, null, false, false);
    this.cutOff = cutOff;
  }

  /** A frame that contradicts the format. */
  static BrokenFrame because(String reason) {
    return new BrokenFrame(reason, false);
  }

  /** A frame that runs past the bytes at hand. */
  static BrokenFrame cutOff() {
    return new BrokenFrame(FrameHeader.CUT_OFF, true);
  }

  boolean isCutOff() {
    return cutOff;
  }
}
