/**
 * How a frame is told to people: clock time, bars and beats. Takes for granted that frame numbers
 * count from the common start; keeps to whole numbers so that nothing is rounded twice. Implements
 * section 8 of definitions.md.
 */
package cairn.collisions.time;
