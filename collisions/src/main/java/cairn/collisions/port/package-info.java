/**
 * All that the rules ask of the world: samples of stems, and somebody to tell how far the work is.
 * Implemented outside this module; tests use arrays.
 */
package cairn.collisions.port;
