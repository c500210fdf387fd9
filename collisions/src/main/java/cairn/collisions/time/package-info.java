/**
 * How a frame is told to people: clock time, bars and beats, time code. Takes for granted that
 * frame numbers count from the common start; keeps to whole numbers so that nothing is rounded
 * twice. Implements section 8 of definitions.md, and the labels of SMPTE ST 12-1:2014.
 */
package cairn.collisions.time;
