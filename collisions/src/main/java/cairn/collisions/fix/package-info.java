/**
 * What can be done about a moment: the hit that holds the event, and the least nudge, trim or clip
 * of one stem that clears it. Takes for granted samples in memory about one moment; keeps no marks.
 * Implements section 4 of definitions.md.
 */
package cairn.collisions.fix;
