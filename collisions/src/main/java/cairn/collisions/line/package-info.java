/**
 * From the bus to the line: windows and their peaks, the loud part, the average peak with its gates
 * and baselines, the line itself. Takes for granted a summary of exact block peaks; says nothing of
 * what stands above the line. Implements section 2 and the first paragraph of section 3 of
 * definitions.md.
 */
package cairn.collisions.line;
