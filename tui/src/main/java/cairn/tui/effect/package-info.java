/**
 * Carries out the walk's effects on threads of its own and answers with events: reads stems, sums
 * the bus with marks, looks into moments, plans, saves, writes cue lists. What is worked out for
 * one screen is void once a later one asks for something else.
 */
package cairn.tui.effect;
