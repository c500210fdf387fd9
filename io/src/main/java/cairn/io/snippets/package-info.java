/**
 * Short sounds of the bus about each marked moment, before and after, to listen to. Takes for
 * granted settled marks. All snippets of a folder have one gain, so that they can be compared; it
 * only ever turns down.
 *
 * <p>{@code index.csv} (RFC 4180) has a row a moment: number, moment (frame), seconds, time, rank,
 * what is done, the two files, the first frame and the one after the last, peak before and after on
 * the bus in dBFS, the gain in dB.
 */
package cairn.io.snippets;
