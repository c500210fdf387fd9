package cairn.demo;

/** One sound of one stem at one place. Only its gain changes, and only while the band is tuned. */
final class Hit {

  final Voice voice;

  /** The song's frame on which the sound's first frame lies; may be before frame 0. */
  final int frame;

  final Sound sound;

  /** Held hits belong to a planted figure: evening out the song leaves them alone. */
  final boolean held;

  /** Amplitude of the sound's highest crest, linear. */
  double gain;

  Hit(Voice voice, int frame, Sound sound, double gain, boolean held) {
    this.voice = voice;
    this.frame = frame;
    this.sound = sound;
    this.gain = gain;
    this.held = held;
  }

  /** What the hit adds to a frame of the song on one channel. */
  double at(int n, int channel) {
    int i = n - frame;
    return i < 0 || i >= sound.frames() ? 0 : gain * sound.channel(channel)[i];
  }
}
