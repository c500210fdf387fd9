/**
 * What all sound files have in common, whatever their format. Takes for granted that a file stays
 * as it is while it is open, and notices when it does not. Formats are implemented in the sister
 * packages {@code wave}, {@code aiff} and {@code flac}.
 */
package cairn.io.sound;
