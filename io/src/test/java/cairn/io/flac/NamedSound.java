package cairn.io.flac;

/** A sound as whole numbers, {@code [channel][frame]}, with its depth. */
final class NamedSound {

  final String name;
  final int[][] sound;
  final int bits;

  NamedSound(String name, int[][] sound, int bits) {
    this.name = name;
    this.sound = sound;
    this.bits = bits;
  }
}
