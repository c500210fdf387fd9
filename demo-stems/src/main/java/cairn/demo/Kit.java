package cairn.demo;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** The sounds that the band has at hand; each made once, on first use for notes and chords. */
final class Kit {

  /** Roots of the four bars that the song goes round in: Dm, Gm, A7, Dm; MIDI note numbers. */
  private static final int[] ROOTS = {38, 43, 45, 38};

  private static final int[][] CHORDS = {{62, 65, 69}, {62, 67, 70}, {61, 64, 67}, {62, 65, 69}};

  private final long seed;
  private final Map<Voice, List<Sound>> strokes = new HashMap<>();
  private final Map<String, Sound> notes = new HashMap<>();

  Kit(long seed) {
    this.seed = seed;
    for (int i = 0; i < 6; i++) {
      add(Voice.CAIXA, Instruments.stick(1300, 205, 0.018, 0.4, 0.03, 0.5, 0.125, dice("c", i)));
      add(
          Voice.REPINIQUE,
          Instruments.stick(1000, 290, 0.03, 0.55, 0.012, 0.25, 0.125, dice("r", i)));
      add(Voice.TAMBORIM, Instruments.stick(1900, 920, 0.02, 0.5, 0.008, 0.25, 0.09, dice("t", i)));
      add(Voice.SURDO_TWO, Instruments.surdo(78, 0.075, 0.36, dice("s2", i)));
    }
    for (int i = 0; i < 2; i++) {
      add(Voice.AGOGO, Instruments.bell(i == 0 ? 690 : 935, i == 0 ? -0.2 : 0.2, dice("a", i)));
      add(Voice.SHAKER, Instruments.shaker(i == 0 ? 0.012 : 0.02, dice("h", i)));
      add(Voice.WHISTLE, Instruments.whistle(2350, i == 0 ? 0.34 : 0.1, dice("w", i)));
    }
    add(Voice.SURDO_LOW, Instruments.surdo(58, 0.1, 0.46, dice("s1", 0)));
    add(Voice.SURDO_LOW_SINE, Instruments.lowSine(49, 0.11, 0.46));
    add(Voice.CLAPS, Instruments.claps(dice("k", 0)));
  }

  private Dice dice(String name, int i) {
    return new Dice(seed, "kit " + name + i);
  }

  private void add(Voice voice, Sound sound) {
    strokes.computeIfAbsent(voice, v -> new ArrayList<>()).add(sound);
  }

  /** A stroke of a struck instrument; variants count round. */
  Sound stroke(Voice voice, int variant) {
    List<Sound> all = strokes.get(voice);
    return all.get(Math.floorMod(variant, all.size()));
  }

  Sound bass(int bar, int degree, int steps) {
    int note = ROOTS[bar % 4] + degree;
    return notes.computeIfAbsent(
        "bass " + note + " " + steps,
        name -> Instruments.bass(Waves.hertz(note), 0.92 * Grid.seconds(steps)));
  }

  Sound brass(Voice voice, int bar, int steps) {
    boolean high = voice == Voice.BRASS_HIGH;
    int[] chord = CHORDS[bar % 4];
    int[] blown =
        high
            ? new int[] {chord[0] + 12, chord[1] + 12, chord[2] + 12}
            : new int[] {chord[0] - 12, chord[2] - 12};
    return notes.computeIfAbsent(
        voice + " " + bar % 4 + " " + steps,
        name -> Instruments.brass(blown, 0.85 * Grid.seconds(steps), high, new Dice(seed, name)));
  }

  Sound choir(int bar, int steps) {
    return notes.computeIfAbsent(
        "choir " + bar % 4 + " " + steps,
        name ->
            Instruments.choir(
                CHORDS[bar % 4], 0.04 + Grid.seconds(steps), new Dice(seed, "choir " + bar % 4)));
  }

  Sound lead(int note, int steps) {
    return notes.computeIfAbsent(
        "lead " + note + " " + steps,
        name -> Instruments.lead(note, 0.9 * Grid.seconds(steps), new Dice(seed, name)));
  }

  /** A low sine or a bass note, both held through on one low pitch. */
  Sound held(Voice voice) {
    return notes.computeIfAbsent(
        "held " + voice,
        name ->
            switch (voice) {
              case SURDO_LOW_SINE -> Instruments.lowSine(Waves.hertz(38), 1.5, 0.27);
              case BASS -> Instruments.bass(Waves.hertz(38), 0.27);
              default ->
                  throw new IllegalArgumentException("voice has no held sound: voice=" + voice);
            });
  }

  /** The note of the song's scale (D minor) on a degree, 0 = the D above middle C. */
  static int scale(int degree) {
    int[] steps = {0, 2, 3, 5, 7, 8, 10};
    return 62 + 12 * Math.floorDiv(degree, 7) + steps[Math.floorMod(degree, 7)];
  }
}
