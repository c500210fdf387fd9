/**
 * The session and its analysis: stems with faders go in, a {@link cairn.collisions.Pass} comes out.
 * Takes for granted that sample values are finite; says nothing of files or screens. Implements the
 * preamble and section 1 of definitions.md and leads through sections 2 and 3.
 */
package cairn.collisions;
