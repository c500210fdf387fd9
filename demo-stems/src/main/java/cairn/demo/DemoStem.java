package cairn.demo;

import cairn.io.sound.SoundFormat.Container;

/** One stem of the demo song. */
public final class DemoStem {

  private final Band band;
  private final Voice voice;

  DemoStem(Band band, Voice voice) {
    this.band = band;
    this.voice = voice;
  }

  /** The stem's name, that of its file without the ending. */
  public String name() {
    return voice.stemName;
  }

  /** The folder it lies in. */
  public String group() {
    return voice.group;
  }

  /** 1 or 2. */
  public int channels() {
    return voice.channels;
  }

  /** The format of its file. */
  public Container container() {
    return voice.container;
  }

  /** Its path under the folder of stems, parts split by {@code /}. */
  public String path() {
    return voice.path();
  }

  /**
   * The samples, planar {@code [channel][frame]}, 1.0 = full scale, each a whole number of 24 bits
   * over 2^23. Made afresh by each call, the same to the last bit.
   */
  public double[][] render() {
    return band.render(voice);
  }
}
