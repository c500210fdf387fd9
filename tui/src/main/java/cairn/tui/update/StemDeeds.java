package cairn.tui.update;

import cairn.collisions.Fader;
import cairn.collisions.Yokes;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.tui.model.Deeds;
import cairn.tui.model.Effect;
import cairn.tui.model.Screen;
import cairn.tui.model.Song;
import cairn.tui.model.TextField;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.function.UnaryOperator;

/** What the Stems screen's keys do: faders are collected, and summed on Enter. */
final class StemDeeds {

  private StemDeeds() {}

  private static int selected(Turn turn) {
    return turn.now.selectedOn(Screen.STEMS);
  }

  static void leaveAlone(Turn turn) {
    if (turn.now.song.isEmpty()) {
      return;
    }
    int k = selected(turn);
    Deeds deeds = turn.now.deeds;
    Set<Integer> leftAlone = new HashSet<>(deeds.leftAlone());
    boolean freed = leftAlone.remove(k);
    List<Integer> yoked = yokes(turn).othersOf(k);
    if (!freed && !yoked.isEmpty()) {
      turn.say(
          turn.stem(k) + " moves with " + turn.stem(yoked.get(0)) + "; y, then Enter, parts them");
      return;
    }
    if (!freed) {
      leftAlone.add(k);
    }
    long marks = deeds.marks().fixes().stream().filter(m -> m.fix().stem() == k).count();
    turn.deed(
        deeds.withLeftAlone(leftAlone),
        turn.stem(k)
            + (freed
                ? " may be fixed again"
                : " is left alone: no fix is proposed for it"
                    + (marks > 0
                        ? "; its " + Figures.count(marks, "mark") + " stay until taken off"
                        : "")));
  }

  private static Yokes yokes(Turn turn) {
    return turn.now.song.map(song -> song.pass().session().yokes()).orElse(Yokes.NONE);
  }

  /** Asks which stem the selected one is to move with. */
  static void askYoke(Turn turn) {
    if (turn.now.song.isEmpty()) {
      return;
    }
    int k = selected(turn);
    if (turn.now.deeds.leftAlone().contains(k)) {
      turn.say(turn.stem(k) + " is left alone and cannot move with another; f frees it");
      return;
    }
    Fields.open(turn, TextField.Purpose.YOKE, "");
  }

  /**
   * Yokes the selected stem with the first other whose name holds a text; without one, frees it.
   */
  static void yoke(Turn turn, String text) {
    if (turn.now.song.isEmpty()) {
      return;
    }
    int k = selected(turn);
    Yokes old = yokes(turn);
    if (text.isEmpty()) {
      if (old.isYoked(k)) {
        yoke(turn, old.without(k), turn.stem(k) + " moves alone again");
      } else {
        turn.say("type a part of the other stem's name: a drum and its low layer move as one");
      }
      return;
    }
    List<String> stems = RowCounts.stems(turn.model());
    String wanted = text.toLowerCase(Locale.ROOT);
    List<Integer> found = new ArrayList<>();
    for (int j = 0; j < stems.size(); j++) {
      if (j != k && stems.get(j).toLowerCase(Locale.ROOT).contains(wanted)) {
        found.add(j);
      }
    }
    if (found.isEmpty()) {
      turn.say("no other stem has '" + SafeText.of(text) + "' in its name");
      return;
    }
    int other =
        found.stream()
            .filter(j -> stems.get(j).toLowerCase(Locale.ROOT).equals(wanted))
            .findFirst()
            .orElse(found.get(0));
    if (turn.now.deeds.leftAlone().contains(other)) {
      turn.say(turn.stem(other) + " is left alone and cannot move with another; f there frees it");
    } else {
      yoke(turn, old.with(List.of(k, other)), turn.stem(k) + " moves with " + turn.stem(other));
    }
  }

  /** Yokes change what marks do, so all is summed again. */
  private static void yoke(Turn turn, Yokes yokes, String said) {
    if (turn.now.work.isPresent()) {
      turn.say("something is being worked out already; Ctrl-C cancels it");
      return;
    }
    Song song = turn.now.song.get();
    turn.effect(
        new Effect.Analyse(
            song.pass().session().faders(),
            Optional.of(song.pass().settings()),
            Optional.of(yokes)));
    turn.say(said);
  }

  private static void change(Turn turn, UnaryOperator<Fader> change) {
    if (turn.now.song.isEmpty()) {
      return;
    }
    int k = selected(turn);
    List<Fader> faders = new ArrayList<>(turn.model().faders());
    faders.set(k, change.apply(faders.get(k)));
    turn.deed(
        turn.now.deeds.withFaders(faders),
        turn.stem(k)
            + ": "
            + words(faders.get(k), turn.rate())
            + "; Enter sums again; u undoes it");
  }

  /** A fader in words. */
  static String words(Fader fader, int sampleRateHz) {
    List<String> words = new ArrayList<>();
    words.add(Figures.signed(fader.gainDb(), 1) + " dB");
    if (fader.reversed()) {
      words.add("polarity reversed");
    }
    if (fader.offset() != 0) {
      words.add(
          Figures.fixed(1000.0 * Math.abs(fader.offset()) / sampleRateHz, 2)
              + (fader.offset() > 0 ? " ms later" : " ms earlier"));
    }
    if (fader.muted()) {
      words.add("muted");
    }
    if (fader.soloed()) {
      words.add("soloed");
    }
    return String.join(", ", words);
  }

  static void mute(Turn turn) {
    change(turn, fader -> fader.withMuted(!fader.muted()));
  }

  static void solo(Turn turn) {
    change(turn, fader -> fader.withSoloed(!fader.soloed()));
  }

  static void polarity(Turn turn) {
    change(turn, fader -> fader.withReversed(!fader.reversed()));
  }

  static void gain(Turn turn, int sign) {
    int tenths = sign * Steps.tenthsDb(turn.now.stepSize);
    change(turn, fader -> fader.withGainDb(Math.round(fader.gainDb() * 10 + tenths) / 10.0));
  }

  static void offset(Turn turn, int sign) {
    int frames = sign * Steps.frames(turn.now.stepSize, turn.rate());
    change(turn, fader -> fader.withOffset(fader.offset() + frames));
  }

  /** Narrows the list to the stems whose name holds a text; of no text: shows all. */
  static void narrow(Turn turn, String text) {
    List<Integer> found = RowCounts.holding(RowCounts.stems(turn.model()), text);
    if (found.isEmpty()) {
      turn.say("no stem has '" + SafeText.of(text) + "' in its name");
      return;
    }
    turn.now.stemsNarrowed = text;
    if (!found.contains(selected(turn))) {
      turn.now.select(Screen.STEMS, found.get(0));
    }
    turn.say(
        text.isEmpty()
            ? "all stems"
            : Figures.count(found.size(), "stem")
                + " with '"
                + SafeText.of(text)
                + "'; /, then Enter, shows all again");
  }

  /** Selects another of the stems that are shown. */
  static void move(Turn turn, long by) {
    List<Integer> shown = RowCounts.shownStems(turn.model());
    if (!shown.isEmpty()) {
      long to = Math.max(0, shown.indexOf(selected(turn))) + by;
      turn.now.select(Screen.STEMS, shown.get((int) Math.max(0, Math.min(to, shown.size() - 1L))));
    }
  }

  /** Sums again with the faders as collected; with none changed, shows the stem's moments. */
  static void sumAgain(Turn turn) {
    if (turn.now.song.isEmpty()) {
      turn.say("the stems are still being read");
      return;
    }
    if (turn.now.work.isPresent()) {
      turn.say("something is being worked out already; Ctrl-C cancels it");
      return;
    }
    if (turn.model().isToSumAgain()) {
      turn.effect(
          new Effect.Analyse(
              turn.model().faders(), Optional.of(turn.now.song.get().pass().settings())));
      turn.say("summing again with the new faders");
      return;
    }
    int k = selected(turn);
    turn.open(Screen.WALK);
    turn.now.narrowed = turn.stem(k);
    turn.refreshRows();
    turn.say(
        turn.now.rows.isEmpty()
            ? turn.stem(k) + " takes part in no moment; Esc shows all"
            : "moments of " + turn.stem(k) + "; Esc shows all");
  }
}
