/**
 * AIFF and AIFF-C files. Answers what a file holds and where its samples lie; the samples
 * themselves are decoded in {@code cairn.io.sound}. Takes nothing in a header for granted.
 *
 * <p>Sources: Apple, Audio Interchange File Format "AIFF" 1.3 (4 January 1989); AIFF-C draft (26
 * August 1991), from memory.
 *
 * <pre>{@code
 * file    = "FORM" size32 ("AIFF" | "AIFC") chunk*
 * chunk   = id(4) size32 byte{size} [0 if size is odd]         all numbers big-endian
 * COMM    = "COMM" size32 channels16 frames32 bits16 rate80 [type(4) name]   type in AIFC only
 * SSND    = "SSND" size32 offset32 blockSize32 byte{offset} frames, channel 0 first
 * }</pre>
 *
 * <ul>
 *   <li>Plain AIFF: signed whole numbers, high byte first, 8 bits too; of 1 to 32 bits,
 *       left-justified in whole bytes.
 *   <li>Types of AIFF-C, in any case: {@code NONE}, {@code twos} as plain; {@code sowt} low byte
 *       first; {@code in24}, {@code in32}; {@code 42ni}, {@code 23ni} (also {@code 42n1}, {@code
 *       23n1}) low byte first; {@code fl32}, {@code fl64} whatever {@code bits} says; {@code raw }
 *       unsigned 8 bits. Others are refused by name.
 *   <li>Chunks come in any order; unknown ones are passed over. A sample rate that is not a whole
 *       number is refused.
 *   <li>Mended, with a line: {@code SSND} of size 0, 0xFFFFFFFF or past the end of the file, and a
 *       number of frames that the file does not hold (what is there is read), a missing pad byte,
 *       trailing bytes that are no chunk.
 *   <li>Written: plain AIFF, {@code COMM} and {@code SSND}, under 4 GiB.
 * </ul>
 */
package cairn.io.aiff;
