package cairn.collisions.fix;

/**
 * The stretch of one stem that holds the event at a moment; definitions.md, 4.
 *
 * @param startFrame its first frame; may be negative, since a hit reaches into silence
 * @param endFrame frame after its last one; may lie past the end of the session
 * @param sustained whether it has an edge that is not quiet
 */
public record Hit(long startFrame, long endFrame, boolean sustained) {}
