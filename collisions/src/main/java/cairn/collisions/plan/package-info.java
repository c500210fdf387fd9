/**
 * Marks on stems, the bus with them applied, how much headroom asks for how many fixes, the plan
 * that meets a line, and what became of a pass in a later one. Takes for granted a pass whose
 * average peak and line are held, and the fixes at one moment; proposes, and takes nothing by
 * itself. Implements section 5 of definitions.md.
 */
package cairn.collisions.plan;
