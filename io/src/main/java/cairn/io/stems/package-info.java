/**
 * From a folder, or files, to the stems of a session: which files are stems, in which order and by
 * which names, which are passed over and why, and the way to their samples. Takes for granted that
 * the formats are read by {@code cairn.io.wave}, {@code .aiff} and {@code .flac}, and that a path
 * is kept as the system gave it, whatever bytes it holds; its safe form is for showing. Implements
 * the first part of definitions.md, 1.
 */
package cairn.io.stems;
