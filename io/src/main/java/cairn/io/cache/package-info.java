/**
 * First passes, and the moments over their lines, kept in the user's cache folder, so that opening
 * stems again that have not changed is instant. Takes for granted that every file here can be made
 * again: what is damaged, of another version or too much is thrown away without a word, and the
 * whole folder may be deleted at any time.
 *
 * <h2>Layout</h2>
 *
 * <p>A file an entry, {@code first-pass/KEY.sum} or {@code first-pass/KEY.moments}; KEY is what
 * {@link cairn.io.cache.EntryKey} makes of the stems, in hexadecimal. All numbers are
 * little-endian; f64 is IEEE 754 binary64.
 *
 * <pre>{@code
 * header    8 bytes   "cairnsum", or "cairnmom" for moments
 *           u32       version, 1
 *           u32       number of sections
 *           i64       length of the file in bytes
 *           32 bytes  KEY
 *           u32       CRC-32C of all before it
 * sections  u32       tag, four characters
 *           u32       CRC-32C of the content
 *           i64       length of the content in bytes
 *           ...       content
 *
 * "GRID"    i64 edges[windows + 1]: first frame of each window, and the frame after the last
 * "BLCK"    i64 peakFrame, f64 blockPeak[blocks]
 * "ENRG"    f64 windowEnergy[windows]
 * "STEM"    f64 windowPeak[stems][windows]
 * "LBUS"    f64 truePeak, f64 energy, f64 hopEnergy[hops]; where the bus was metered
 * "LSTM"    per stem f64 truePeak, f64 energy, then per stem f64 hopEnergy[hops]; where stems were
 *
 * "RUNS"    per run, in time order: i64 firstOver, i64 lastOver, i64 peakFrame, i64 channel, f64 peak,
 *           i64 overFrames, i64 leadingRun, i64 trailingRun, i64 longestRun
 * "MOMT"    per moment, by rank: i64 number of its run from 0, i64 depth, i64 alikeTo, i64 alike,
 *           f64 instant
 * "STMS"    per moment: u32 stem[stems], in falling order of what they add
 * "CONT"    per moment and stem, in that order: f64 amplitude, f64 levelNear, f64 peakWithout
 * }</pre>
 *
 * <p>A section with an unknown tag is passed over, so one more is no new version; a change of what
 * a section holds, or of how the sum is made, is. CRC-32C: RFC 3720, B.4.
 */
package cairn.io.cache;
