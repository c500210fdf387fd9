/**
 * The session on disk: what was set, marked and found, from one opening to the next; where it lies,
 * who may write it, and the defaults of the next one. Takes for granted that a file is replaced
 * whole ({@link cairn.io.files.WholeFile}), so that whoever reads sees one state or the next.
 *
 * <h2>Grammar</h2>
 *
 * <p>JSON (RFC 8259), UTF-8, one object. Times count in frames, ranges are {@code [first, end)},
 * levels are linear (1.0 = 0 dBFS) in full precision since they are compared, dB only where dB were
 * typed. Empty: may be left out. {@code STEM} stands for the fields {@code "stem"} (name) and
 * {@code "file"} (path from the folder, {@code /} between names), both as the program shows them.
 *
 * <pre>{@code
 * {"schema": "cairn-session/1", "folder": "." or absolute, "sampleRate": Hz,
 *  "stems": [{STEM, "gainDb", "reversed", "muted", "soloed", "offset": frames, "leftAlone"}],
 *  "yokes": [{"stems": [{STEM}]}],
 *  "sections": [{"name", "range": [first, end]}],
 *  "settings": {LINE, "baseline": "loud", "song" or "local",
 *               "section": [first, end], "range": [first, end], "windows": "half" or "beat",
 *               "tempo": {"tempos": [{"quarter", "quartersPerMinute"}],
 *                         "meters": [{"quarter", "beatsPerBar", "beatUnit"}], "barOneSeconds"}
 *                        or, in the first form, {"quartersPerMinute", "beatsPerBar", "beatUnit",
 *                        "barOneSeconds"},
 *               "truePeak", "metering": "bus" or "stems",
 *               "goal": {"targetLufs", "ceilingDb", "ceilingMode": "sample_peak" or "true_peak",
 *                        "allowanceDb", "part": "loud" or "song"}, "goalDrawsLine",
 *               "monoGainDb"},
 *  "preferences": {"goalLufs", "ceilingDb", "ceilingUnit": "dbfs" or "dbtp", "allowanceDb",
 *                  "nudgeMs", "trimDb", "clipMs" or "clipAnyLength": true, "dearDb", "notation"},
 *  "view": {"order": "excess", "time" or "stem", "moment": frame, "whatIfOff"},
 *  "marks": [{"kind": "nudge", STEM, "frames": earlier < 0 < later, PLACE}
 *            or {"kind": "trim", STEM, "db": over 0, PLACE}
 *            or {"kind": "clip", STEM, "ceilingDb", PLACE}
 *            or {"kind": "fine", "moment": frame, "note", "done"}],
 *  "notes": [{"moment": frame, "text"}],
 *  "tipsUsed": [name],
 *  "passes": [{"number", "when": ISO 8601 UTC, "sampleRate", "range", "windowFrames": 0 for beats,
 *              "mode", "baseline", LINE, "averagePeaks": [one, or one a window],
 *              "loudPart", "peak", "peakFrame",
 *              "stems": [{STEM, "channels", "frames", "peak", "averagePeak", "bytes", "modifiedMs",
 *                         "windowPeaks": PEAKS, "marked": [[first, end]]}],
 *              "momentsCheck": "BYTES CRC32 STEMS" of the array that follows,
 *              "moments": [{"frame", "channel", "peak", "averagePeak", "line", "firstOver",
 *                           "lastOver": inclusive, "overFrames", "longestRun", "long",
 *                           "makingUp": [index into stems], "alikeTo": rank, "alike", "instant",
 *                           "told"}],
 *              "shift": frames later than the pass before, "busPeaks": PEAKS,
 *              "marks": its fixes, once a later pass has begun}]}
 * }</pre>
 *
 * <p>{@code LINE}: {@code "marginDb"}, or {@code "lineDb"} with {@code "heldLine"}, linear, where
 * it is held from an earlier pass. {@code PEAKS}: {@link cairn.io.session.SavedPeaks}; only the
 * last two passes keep them, and of the moments of all passes before them 2,000 stay at most.
 * {@code PLACE}: {@code "moment"} (peak frame), {@code "start"} and {@code "end"} (the hit, or the
 * span of a clip), {@code "note"}, {@code "done"}. Marks stand in the order in which they were
 * made, moments by rank.
 *
 * <h2>Versions</h2>
 *
 * <p>A field that an older program may pass over is added without a new version: it keeps what it
 * does not know, in every object but tempo, goal and the stems of a yoke, and writes it again. All
 * else raises the version, also a new kind of mark, and an older program leaves the file alone. The
 * defaults file has the object {@code preferences} and a {@code "schema"} of its own, {@code
 * cairn-defaults/1}.
 */
package cairn.io.session;
