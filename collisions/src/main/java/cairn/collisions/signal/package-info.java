/**
 * Samples on their way to the bus: faders applied, stems summed in order. Takes for granted that
 * the reader hands over finite values; knows nothing of lines or moments. Implements section 1 of
 * definitions.md.
 */
package cairn.collisions.signal;
