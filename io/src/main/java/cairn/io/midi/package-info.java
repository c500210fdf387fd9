/**
 * Standard MIDI Files: reads tempo and meter, writes markers. Takes nothing in a file for granted.
 *
 * <p>Source: Standard MIDI Files 1.0, RP-001 (MIDI Manufacturers Association, 1988, revised 1996).
 *
 * <pre>{@code
 * file    = "MThd" 6:32 format16 tracks16 division16 chunk*      all numbers big-endian
 * chunk   = "MTrk" size32 (delta event)*                         others are passed over
 * delta   = number of 7 bits a byte, highest first, bit 7 set but in the last; at most 4 bytes
 * event   = 0xFF type8 length byte{length}                       meta event, length as a delta
 *         | (0xF0 | 0xF7) length byte{length}
 *         | [status8] byte{1 or 2}                               the status may be left out if it
 *                                                                is that of the event before
 * }</pre>
 *
 * <ul>
 *   <li>Division: ticks of a quarter note, 1 to 32767. Ticks of a time code frame (bit 15 set) tell
 *       no tempo and are refused.
 *   <li>Read: 0x51 tempo (microseconds of a quarter note), 0x58 meter, from all tracks (of format 2
 *       from the first). Without them 120 quarter notes a minute, 4/4. Of several at one tick the
 *       last counts.
 *   <li>Written: format 0, one track: 0x03 name, 0x58, 0x51, 0x06 markers in UTF-8, 0x2F. A gap of
 *       more than 0x0FFFFFFF ticks is filled with empty texts (0x01).
 * </ul>
 */
package cairn.io.midi;
