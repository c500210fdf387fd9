/**
 * WAVE files: RIFF, RF64 and BW64. Answers what a file holds and where its samples lie; the samples
 * themselves are decoded in {@code cairn.io.sound}. Takes nothing in a header for granted.
 *
 * <p>Sources: IBM and Microsoft, Multimedia Programming Interface and Data Specifications 1.0
 * (August 1991), and New Multimedia Data Types and Data Techniques (1994); EBU Tech 3285 v2 ({@code
 * bext}); EBU Tech 3306 v1.1 (RF64); ITU-R BS.2088-1 (BW64).
 *
 * <pre>{@code
 * file    = ("RIFF" size32 "WAVE" | ("RF64" | "BW64") size32 "WAVE" ds64) chunk*
 * chunk   = id(4) size32 byte{size} [0 if size is odd]         all numbers little-endian
 * ds64    = "ds64" size32 riffSize64 dataSize64 frames64 entries32 (id(4) size64){entries}
 * fmt     = "fmt " size32 tag16 channels16 rate32 byteRate32 blockAlign16 bits16
 *           [cbSize16 [validBits16 channelMask32 guid(16)]]    size 16, 18 or 40
 * data    = "data" size32 frames, channel 0 first
 * bext    = "bext" size32 description(256) ... timeReference64 at 338 ...
 * cue     = "cue " size32 points32 (id32 frame32 "data" 0:32 0:32 frame32){points}
 * LIST    = "LIST" size32 "adtl" (labl | note | ltxt)*           each padded like a chunk
 * labl    = "labl" size32 id32 text 0                            note likewise
 * ltxt    = "ltxt" 20:32 id32 frames32 "rgn " 0:64
 * }</pre>
 *
 * <ul>
 *   <li>Tags: 1 PCM (up to 8 bits unsigned, else signed; containers of whole bytes, values
 *       left-justified), 3 IEEE 754 of 32 or 64 bits, 0xFFFE: the tag is in the GUID. Others are
 *       refused by name.
 *   <li>Chunks come in any order, {@code fmt } after {@code data} too. Unknown ones are passed
 *       over. Of two with one name the first counts.
 *   <li>A size field of 0xFFFFFFFF takes its value from {@code ds64}; any other value wins over
 *       {@code ds64}, which in a file called RIFF is ignored.
 *   <li>Mended, with a line: {@code data} of size 0, 0xFFFFFFFF or past the end of the file (what
 *       is there is read, a partial frame left out) or cut to 32 bits, a wrong block align (a frame
 *       is channels times container bytes), a missing pad byte, trailing bytes that are no chunk.
 *   <li>Written: {@code fmt }, {@code fact} for float, {@code bext} on request (version 1), {@code
 *       data}. RF64 as soon as a size would not fit 32 bits. {@code cue } and {@code LIST} after
 *       the data, texts in UTF-8 (the format defines no encoding).
 * </ul>
 */
package cairn.io.wave;
