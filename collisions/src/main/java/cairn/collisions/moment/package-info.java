/**
 * What stands above the line: over frames, the moments they make up, which stem adds what, depth
 * and rank. Takes for granted a held line and exact block bounds; proposes nothing. Implements
 * section 3 of definitions.md.
 */
package cairn.collisions.moment;
