/**
 * A song whose truth is known: a synthetic carnival parade band with planted collisions, the same
 * to the last bit on every machine. Takes for granted nothing but a seed; the arithmetic is IEEE
 * 754 without any call whose result may differ between machines. Implements what sections 1 to 3 of
 * definitions.md need to state where each planted moment lies and who makes it up.
 */
package cairn.demo;
