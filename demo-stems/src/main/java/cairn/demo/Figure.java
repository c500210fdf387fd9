package cairn.demo;

import static cairn.demo.Voice.AGOGO;
import static cairn.demo.Voice.BASS;
import static cairn.demo.Voice.BRASS_HIGH;
import static cairn.demo.Voice.BRASS_LOW;
import static cairn.demo.Voice.CAIXA;
import static cairn.demo.Voice.CLAPS;
import static cairn.demo.Voice.LEAD;
import static cairn.demo.Voice.REPINIQUE;
import static cairn.demo.Voice.SURDO_LOW;
import static cairn.demo.Voice.SURDO_LOW_SINE;
import static cairn.demo.Voice.SURDO_TWO;
import static cairn.demo.Voice.TAMBORIM;
import static cairn.demo.Voice.WHISTLE;

import java.util.List;

/**
 * Some stems that crest together on one frame, wherever the figure is played.
 *
 * @param name a short name, also that of the group of alike moments
 * @param text what happens, in a few words
 * @param excessDb how far the lowest of its moments is to stand above the average peak
 * @param step the sixteenth of the bar, from 0
 * @param bars the bars in which it is played, from 0
 * @param roles who plays, and with which part of the crest
 */
record Figure(
    String name, String text, double excessDb, int step, List<Integer> bars, List<Role> roles) {

  private static final String LAST_CHORD = "last chord";

  /**
   * One stem's share of the crest.
   *
   * @param weight amplitude against that of the figure's other roles
   */
  record Role(Voice voice, double weight) {}

  /** Whether it is held over 100 ms and more, level and no spike. */
  boolean isLong() {
    return name.equals(LAST_CHORD);
  }

  private static Figure of(
      String name, String text, double excessDb, int step, List<Integer> bars, Role... roles) {
    return new Figure(name, text, excessDb, step, bars, List.of(roles));
  }

  private static Role role(Voice voice, double weight) {
    return new Role(voice, weight);
  }

  /** All that is planted, bars ascending within a figure. */
  static final List<Figure> ALL =
      List.of(
          of(
              "four",
              "surdo, its sine, caixa and claps on beat four",
              2.0,
              12,
              List.of(15, 19, 27, 31, 35, 39),
              role(SURDO_LOW, 0.26),
              role(CAIXA, 0.22),
              role(CLAPS, 0.18),
              role(SURDO_LOW_SINE, 0.22)),
          of(
              "stab",
              "both brass sections and the tamborim",
              2.4,
              6,
              List.of(17, 29, 33, 37),
              role(BRASS_HIGH, 0.28),
              role(BRASS_LOW, 0.26),
              role(TAMBORIM, 0.24)),
          of(
              "cut",
              "surdo two, repinique and tamborim cut in",
              1.9,
              10,
              List.of(16, 28, 32, 36),
              role(SURDO_TWO, 0.34),
              role(REPINIQUE, 0.26),
              role(TAMBORIM, 0.18)),
          of(
              "bell",
              "agogo, caixa and repinique",
              1.8,
              3,
              List.of(30, 34, 38),
              role(CAIXA, 0.28),
              role(REPINIQUE, 0.26),
              role(AGOGO, 0.22)),
          of(
              "answer",
              "caixa answered by the claps too well",
              1.7,
              7,
              List.of(28, 32),
              role(CAIXA, 0.32),
              role(CLAPS, 0.3)),
          of(
              "entry",
              "surdo two, caixa and all brass on the drop's first beat",
              3.8,
              0,
              List.of(14),
              role(SURDO_TWO, 0.3),
              role(CAIXA, 0.24),
              role(BRASS_LOW, 0.18),
              role(BRASS_HIGH, 0.18)),
          of(
              "summit",
              "caixa, repinique, claps and tamborim: more than one fix mends",
              5.08,
              0,
              List.of(34),
              role(CAIXA, 0.26),
              role(REPINIQUE, 0.24),
              role(CLAPS, 0.23),
              role(TAMBORIM, 0.22)),
          of(
              "call",
              "the lead voice's shout with caixa and tamborim",
              2.7,
              8,
              List.of(30),
              role(LEAD, 0.3),
              role(CAIXA, 0.26),
              role(TAMBORIM, 0.18)),
          of(
              "lean",
              "surdo low, repinique and brass low",
              3.3,
              4,
              List.of(35),
              role(SURDO_LOW, 0.26),
              role(REPINIQUE, 0.25),
              role(BRASS_LOW, 0.24)),
          of(
              "rattle",
              "claps, tamborim and agogo",
              2.0,
              14,
              List.of(36),
              role(CLAPS, 0.28),
              role(TAMBORIM, 0.24),
              role(AGOGO, 0.2)),
          of(
              "rim",
              "repinique and caixa",
              2.1,
              14,
              List.of(33),
              role(REPINIQUE, 0.34),
              role(CAIXA, 0.32)),
          of(
              "turn",
              "whistle, caixa and surdo two",
              2.2,
              2,
              List.of(37),
              role(SURDO_TWO, 0.3),
              role(CAIXA, 0.26),
              role(WHISTLE, 0.16)),
          of(
              "push",
              "surdo two, tamborim and claps",
              2.4,
              8,
              List.of(18),
              role(SURDO_TWO, 0.32),
              role(CLAPS, 0.22),
              role(TAMBORIM, 0.2)),
          of(
              "word",
              "a sung syllable with surdo low and caixa",
              1.8,
              4,
              List.of(8),
              role(SURDO_LOW, 0.3),
              role(CAIXA, 0.22),
              role(LEAD, 0.2)),
          of(
              "roll-in",
              "surdo low, caixa and tamborim",
              1.8,
              12,
              List.of(11),
              role(SURDO_LOW, 0.32),
              role(CAIXA, 0.24),
              role(TAMBORIM, 0.18)),
          of("shot", "the repinique alone", 2.0, 0, List.of(12), role(REPINIQUE, 1)),
          of("boom", "surdo low alone into the square", 1.9, 0, List.of(20), role(SURDO_LOW, 1)),
          of(
              "pickup",
              "caixa, repinique and surdo two out of the roll",
              2.3,
              14,
              List.of(25),
              role(CAIXA, 0.28),
              role(SURDO_TWO, 0.26),
              role(REPINIQUE, 0.24)),
          of(
              "homeward",
              "surdo two and both brass sections",
              1.7,
              0,
              List.of(40),
              role(SURDO_TWO, 0.32),
              role(BRASS_HIGH, 0.24),
              role(BRASS_LOW, 0.22)),
          of(
              LAST_CHORD,
              "bass and low sine held on one note: level, no spike",
              2.5,
              0,
              List.of(43),
              role(SURDO_LOW_SINE, 0.36),
              role(BASS, 0.34)));

  /** Whether some figure has this voice on this step or so near that its sound needs the room. */
  static boolean claims(Voice voice, int bar, int step, int lengthSteps) {
    int from = bar * Grid.STEPS_PER_BAR + step;
    for (Figure figure : ALL) {
      for (Role role : figure.roles) {
        if (role.voice != voice) {
          continue;
        }
        for (int at : figure.bars) {
          int planted = at * Grid.STEPS_PER_BAR + figure.step;
          if (from <= planted && planted < from + lengthSteps) {
            return true;
          }
        }
      }
    }
    return false;
  }
}
