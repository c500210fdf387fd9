package cairn.collisions.line;

/** Which windows the average peak is the mean of; definitions.md, 2. */
public enum Baseline {
  /** Those of the loud part, found or named: one average peak for the whole song. */
  LOUD,
  /** All windows: one average peak for the whole song. */
  SONG,
  /** The 33 about each place: the average peak moves with the song. */
  LOCAL
}
