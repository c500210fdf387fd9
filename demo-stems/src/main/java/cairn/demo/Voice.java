package cairn.demo;

import cairn.io.sound.SoundFormat.Container;

/**
 * The stems of the band in stem order, that is by path and code point (definitions.md, 1).
 *
 * <p>A programmed voice plays on the grid to the frame and always in the same way; a played one is
 * a little early or late, louder or softer each time.
 */
enum Voice {
  BASS("bass", "bass", 1, Container.WAVE, true, 0.095),
  BRASS_HIGH("brass", "brass high", 2, Container.WAVE, true, 0.125),
  BRASS_LOW("brass", "brass low", 1, Container.AIFF, true, 0.12),
  CAIXA("drums", "caixa", 1, Container.WAVE, false, 0.125),
  REPINIQUE("drums", "repinique", 1, Container.WAVE, false, 0.11),
  SURDO_LOW_SINE("drums", "surdo low sine", 1, Container.WAVE, true, 0.1),
  SURDO_LOW("drums", "surdo low", 1, Container.WAVE, true, 0.23),
  SURDO_TWO("drums", "surdo two", 1, Container.WAVE, false, 0.19),
  TAMBORIM("drums", "tamborim", 1, Container.WAVE, false, 0.1),
  HALL("hall", "hall return", 2, Container.WAVE, false, 0.14),
  AGOGO("percussion", "agogo", 2, Container.FLAC, false, 0.09),
  CLAPS("percussion", "claps", 2, Container.WAVE, true, 0.12),
  SHAKER("percussion", "shaker", 2, Container.WAVE, true, 0.045),
  CHOIR("voices", "choir", 2, Container.WAVE, true, 0.07),
  LEAD("voices", "lead voice", 1, Container.WAVE, false, 0.13),
  WHISTLE("voices", "whistle", 1, Container.WAVE, false, 0.07);

  final String group;
  final String stemName;
  final int channels;
  final Container container;
  final boolean programmed;

  /** The crest of an ordinary accent in the loud part, linear. */
  final double accent;

  Voice(
      String group,
      String stemName,
      int channels,
      Container container,
      boolean programmed,
      double accent) {
    this.group = group;
    this.stemName = stemName;
    this.channels = channels;
    this.container = container;
    this.programmed = programmed;
    this.accent = accent;
  }

  /** The file's path under the folder of stems, with {@code /} between the parts. */
  String path() {
    String ending =
        switch (container) {
          case AIFF -> ".aiff";
          case FLAC -> ".flac";
          default -> ".wav";
        };
    return group + "/" + stemName + ending;
  }
}
