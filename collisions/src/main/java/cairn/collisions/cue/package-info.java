/**
 * What goes to the desk: a time with a text for each mark and place, or for each listed moment.
 * Takes for granted that marks are settled; times are frames of the session, and never change on
 * their way into a file. Implements section 8 of definitions.md.
 */
package cairn.collisions.cue;
