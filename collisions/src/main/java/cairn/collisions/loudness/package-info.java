/**
 * How loud the bus and its stems are, and what a limiter would have to do to reach a goal:
 * K-weighted energies, momentary, short-term and integrated loudness, loudness range, true peak.
 * Takes for granted samples handed over in order; two channels that both count in full. Implements
 * section 6 of definitions.md after ITU-R BS.1770-5, EBU Tech 3341 V4 and EBU Tech 3342 V4.
 */
package cairn.collisions.loudness;
