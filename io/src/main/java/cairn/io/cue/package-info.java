/**
 * Cue lists as files, one class a format: CSV (RFC 4180), JSON (RFC 8259, schema {@code
 * cairn-cues/1}), text for paper, and through {@code cairn.io.midi} and {@code cairn.io.wave}
 * markers of a Standard MIDI File and cue points of a WAVE file. Takes for granted a finished list;
 * a frame is written as it is, whatever stands beside it. All text is UTF-8.
 *
 * <pre>{@code
 * {"schema": "cairn-cues/1",
 *  "session": {"name", "sampleRate": Hz, "frames", "notation": "clock", "samples", "bars" or
 *              "timecode"},
 *  "cues": [{"rank": or null, "moment": frame, "seconds", "time": in the notation, "from", "to",
 *            "stem", "kind": "nudge", "trim", "clip" or null,
 *            "frames": earlier < 0 < later, or "db": over 0, or "ceilingDb",
 *            "excessDb": or null, "alike", "done", "note": or null, "text"}]}
 * }</pre>
 *
 * <p>CSV: the same fields, a row a cue; {@code fix} for {@code kind}, {@code amount} (never
 * negative but for a ceiling) with its {@code unit} in words; empty where JSON has null. Text
 * fields that a spreadsheet would take for a formula get an apostrophe in front.
 */
package cairn.io.cue;
