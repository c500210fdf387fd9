package cairn.tui.model;

/**
 * The bus while it is being summed, for the picture of the whole song.
 *
 * @param frames frames of the song
 * @param sampleRateHz sample rate in Hz
 * @param stems number of stems
 * @param peaks the largest level of each of so many equal stretches of the song, linear; negative:
 *     not summed yet
 */
public record Sums(long frames, int sampleRateHz, int stems, Samples peaks) {}
