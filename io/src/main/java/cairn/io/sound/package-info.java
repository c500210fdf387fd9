/**
 * What all sound files have in common, whatever their format. Takes for granted that a file stays
 * as it is while it is open, and notices when it does not. Formats are implemented in the sister
 * packages {@code wave}, {@code aiff} and {@code flac}; here is what two of them share:
 * uncompressed samples ({@link cairn.io.sound.LinearCoding}) and files of chunks ({@link
 * cairn.io.sound.ChunkWalk}).
 */
package cairn.io.sound;
