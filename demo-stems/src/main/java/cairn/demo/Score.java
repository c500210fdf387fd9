package cairn.demo;

import java.util.ArrayList;
import java.util.List;

/**
 * Writes out who plays what, bar by bar: patterns in the manner of a samba band (of our own making,
 * no source), played a little unevenly by the players and exactly by what is programmed.
 */
final class Score {

  private static final int LAST_BAR = 43;

  /** A big drum rings for more than three sixteenths: a planted hit needs the skin at rest. */
  private static final int SURDO_STEPS = 4;

  private static final String CAIXA_PATTERN = "X..xx.X..x.xX..x";
  private static final String REPINIQUE_PATTERN = "x..xx.x.x..xx.xx";
  private static final String TAMBORIM_PATTERN = "x.x.xx.x.x.xx.x.";
  private static final String AGOGO_PATTERN = "h.h.ll.h.h.l.ll.";
  private static final int[] BASS_STEPS = {0, 3, 6, 8, 11, 14};
  private static final int[] BASS_DEGREES = {0, 0, 7, 0, 7, 5};

  private final long seed;
  private final Kit kit;
  private final List<Hit> hits = new ArrayList<>();

  private Score(long seed, Kit kit) {
    this.seed = seed;
    this.kit = kit;
  }

  /** All hits but those of the planted figures, for which room is left. */
  static List<Hit> write(long seed, Kit kit) {
    Score score = new Score(seed, kit);
    score.surdos();
    score.sticks();
    score.bells();
    score.hands();
    score.chords();
    score.voices();
    return score.hits;
  }

  private void play(
      Voice voice, int bar, int step, int steps, Sound sound, double level, Dice dice) {
    double late = voice.programmed ? 0 : 0.004 * dice.lean();
    double louder = voice.programmed ? 1 : 1 + 0.18 * dice.lean();
    if (Figure.claims(voice, bar, step, steps)) {
      return;
    }
    double gain = voice.accent * Waves.factor(Part.of(bar).levelDb) * level * louder;
    hits.add(
        new Hit(voice, Grid.frame(bar, step) + Waves.frames(late), sound, gain, /* held= */ false));
  }

  private Dice dice(Voice voice) {
    return new Dice(seed, "score " + voice.stemName);
  }

  private void surdos() {
    Dice dice = dice(Voice.SURDO_TWO);
    for (int bar = 0; bar < LAST_BAR; bar++) {
      Part part = Part.of(bar);
      if (part == Part.SQUARE) {
        continue;
      }
      for (int step : part == Part.BUILD ? new int[] {0, 4, 8, 12} : new int[] {4, 12}) {
        Sound low = kit.stroke(Voice.SURDO_LOW, 0);
        play(Voice.SURDO_LOW, bar, step, SURDO_STEPS, low, step == 12 ? 1 : 0.9, dice);
        if (part.loud()) {
          Sound sine = kit.stroke(Voice.SURDO_LOW_SINE, 0);
          // the sine goes with its drum: where a figure moves the one, the other stays away
          if (!Figure.claims(Voice.SURDO_LOW, bar, step, SURDO_STEPS)) {
            play(Voice.SURDO_LOW_SINE, bar, step, SURDO_STEPS, sine, 1, dice);
          }
        }
      }
      if (part == Part.GATHER) {
        continue;
      }
      boolean fill = bar == part.endBar() - 1 || bar % 4 == 3;
      for (int step : fill ? new int[] {0, 8, 11, 14} : new int[] {0, 8, 14}) {
        Sound two = kit.stroke(Voice.SURDO_TWO, dice.pick(6));
        play(Voice.SURDO_TWO, bar, step, SURDO_STEPS, two, step % 8 == 0 ? 1 : 0.75, dice);
      }
    }
  }

  private void sticks() {
    Dice caixa = dice(Voice.CAIXA);
    Dice repinique = dice(Voice.REPINIQUE);
    Dice tamborim = dice(Voice.TAMBORIM);
    for (int bar = 0; bar < LAST_BAR; bar++) {
      Part part = Part.of(bar);
      boolean roll = part == Part.BUILD;
      for (int step = 0; step < Grid.STEPS_PER_BAR; step++) {
        if (part != Part.GATHER && part != Part.SQUARE) {
          double swell = 0.45 + 0.6 * ((bar - part.firstBar) * 16 + step) / 32;
          double level = roll ? swell : level(CAIXA_PATTERN.charAt(step));
          Sound stroke = kit.stroke(Voice.CAIXA, caixa.pick(6));
          play(Voice.CAIXA, bar, step, 1, stroke, level, caixa);
        }
        if (part == Part.MARCH || part == Part.HOME || roll || part.loud()) {
          double level = level(REPINIQUE_PATTERN.charAt(step)) * (roll ? 0.8 : 1);
          if (level > 0.5) {
            Sound stroke = kit.stroke(Voice.REPINIQUE, repinique.pick(6));
            play(Voice.REPINIQUE, bar, step, 1, stroke, level, repinique);
          }
        }
        if (part != Part.GATHER && part != Part.BUILD && TAMBORIM_PATTERN.charAt(step) == 'x') {
          Sound stroke = kit.stroke(Voice.TAMBORIM, tamborim.pick(6));
          play(Voice.TAMBORIM, bar, step, 1, stroke, step % 4 == 0 ? 1 : 0.8, tamborim);
        }
      }
    }
  }

  private static double level(char written) {
    return switch (written) {
      case 'X' -> 1;
      case 'x' -> 0.8;
      default -> 0.38;
    };
  }

  private void bells() {
    Dice agogo = dice(Voice.AGOGO);
    Dice whistle = dice(Voice.WHISTLE);
    for (int bar = 0; bar < LAST_BAR; bar++) {
      Part part = Part.of(bar);
      for (int step = 0; step < Grid.STEPS_PER_BAR; step++) {
        char written = AGOGO_PATTERN.charAt(step);
        if (written != '.') {
          Sound bell = kit.stroke(Voice.AGOGO, written == 'h' ? 1 : 0);
          play(Voice.AGOGO, bar, step, 1, bell, step % 4 == 0 ? 1 : 0.8, agogo);
        }
      }
      if (bar == part.endBar() - 1 || part == Part.BUILD) {
        for (int step : new int[] {8, 11, 12}) {
          Sound blown = kit.stroke(Voice.WHISTLE, step == 8 ? 0 : 1);
          play(Voice.WHISTLE, bar, step, 1, blown, 1, whistle);
        }
      }
    }
  }

  private void hands() {
    Dice none = dice(Voice.SHAKER);
    for (int bar = 0; bar < LAST_BAR; bar++) {
      Part part = Part.of(bar);
      for (int step = 0; step < Grid.STEPS_PER_BAR; step++) {
        boolean on = step % 4 == 0 || step % 4 == 3;
        play(Voice.SHAKER, bar, step, 1, kit.stroke(Voice.SHAKER, on ? 0 : 1), on ? 1 : 0.6, none);
      }
      if (part.loud()) {
        for (int step : new int[] {4, 12}) {
          play(Voice.CLAPS, bar, step, 1, kit.stroke(Voice.CLAPS, 0), 1, none);
        }
      }
    }
  }

  private void chords() {
    Dice none = dice(Voice.BASS);
    for (int bar = 0; bar < LAST_BAR; bar++) {
      Part part = Part.of(bar);
      if (part != Part.GATHER) {
        for (int i = 0; i < BASS_STEPS.length; i++) {
          int end = i + 1 < BASS_STEPS.length ? BASS_STEPS[i + 1] : Grid.STEPS_PER_BAR;
          int steps = end - BASS_STEPS[i];
          Sound note = kit.bass(bar, BASS_DEGREES[i], steps);
          play(Voice.BASS, bar, BASS_STEPS[i], steps, note, 1, none);
        }
      }
      if (part == Part.MARCH || part == Part.HOME || part.loud()) {
        brass(Voice.BRASS_LOW, bar, 0, 3, none);
        brass(Voice.BRASS_LOW, bar, 6, 2, none);
        brass(Voice.BRASS_LOW, bar, 10, 4, none);
      }
      if (part.loud() || part == Part.HOME || (part == Part.MARCH && bar % 2 == 1)) {
        brass(Voice.BRASS_HIGH, bar, 2, 2, none);
        brass(Voice.BRASS_HIGH, bar, 6, 4, none);
        brass(Voice.BRASS_HIGH, bar, 12, 3, none);
      }
      if (part != Part.MARCH) {
        double level = part == Part.SQUARE || part == Part.GATHER ? 1.5 : 1;
        play(Voice.CHOIR, bar, 0, 16, kit.choir(bar, 16), level, none);
      }
    }
  }

  private void brass(Voice voice, int bar, int step, int steps, Dice none) {
    play(voice, bar, step, steps, kit.brass(voice, bar, steps), 1, none);
  }

  private void voices() {
    Dice dice = dice(Voice.LEAD);
    for (int bar = 0; bar < LAST_BAR; bar++) {
      Part part = Part.of(bar);
      boolean sings = part == Part.VERSE || part == Part.SQUARE || part == Part.HOME;
      boolean calls = (part == Part.MARCH || part.loud()) && bar % 4 == 2;
      if (!sings && !calls) {
        continue;
      }
      int degree = calls ? 4 : 2 + dice.pick(3);
      for (int step = calls ? 8 : 0; step < Grid.STEPS_PER_BAR - 2; ) {
        int steps = 2 + dice.pick(3);
        Sound note = kit.lead(Kit.scale(degree), steps);
        play(Voice.LEAD, bar, step, steps, note, calls ? 0.9 : 1.15, dice);
        degree = Math.max(-1, Math.min(7, degree + dice.pick(5) - 2));
        step += steps;
      }
    }
  }
}
