/**
 * The stems with the marks applied, written into a folder of their own, and the second analysis
 * that shows whether they do what was told. Takes for granted settled marks; never writes over a
 * stem.
 *
 * <p>What is written (definitions.md, 4 and 5):
 *
 * <ul>
 *   <li>A stem without fixes: a copy, byte for byte.
 *   <li>WAVE and AIFF with fixes: a copy of the file in which only the samples of the affected
 *       ranges are replaced; header, other chunks and all other samples stay as they are. Whole
 *       numbers are rounded to the nearest of the container's width, halves upwards, without
 *       dither; what would lie beyond full scale becomes full scale, and is counted.
 *   <li>FLAC with fixes: a WAVE file of its depth in whole bytes, sample by sample the same outside
 *       the affected ranges.
 *   <li>Two files of a left/right pair stay two files.
 * </ul>
 *
 * <p>Faders are not written into the stems: fixes act on the file's own level, a clip's ceiling is
 * divided by {@code |g_k|}, an offset is taken back.
 */
package cairn.io.render;
