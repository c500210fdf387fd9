package cairn.tui.update;

import cairn.collisions.moment.Contribution;
import cairn.io.listing.Figures;
import cairn.tui.model.MomentNow;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;

/** Picking a stem of the pile. */
final class Pile {

  private Pile() {}

  static void pick(Turn turn, int index) {
    List<Contribution> pile = pile(turn);
    if (index < pile.size()) {
      pickStem(turn, pile.get(index).stem());
    } else {
      turn.say("the pile has " + Figures.count(pile.size(), "stem") + "; Tab walks through them");
    }
  }

  static void pickNext(Turn turn, int by) {
    List<Contribution> pile = pile(turn);
    if (pile.isEmpty()) {
      return;
    }
    OptionalInt picked = turn.model().pickedStem();
    int at = -1;
    for (int i = 0; i < pile.size(); i++) {
      if (picked.isPresent() && pile.get(i).stem() == picked.getAsInt()) {
        at = i;
      }
    }
    pickStem(turn, pile.get(Math.floorMod(at + by, pile.size())).stem());
  }

  private static void pickStem(Turn turn, int stem) {
    turn.now.picked = OptionalInt.of(stem);
    String name = turn.now.song.map(song -> song.files().get(stem)).orElse(turn.stem(stem));
    turn.say(
        name
            + pile(turn).stream()
                .filter(c -> c.stem() == stem)
                .findFirst()
                .map(c -> words(c))
                .orElse("")
            + (turn.now.deeds.leftAlone().contains(stem) ? "; left alone" : ""));
  }

  private static String words(Contribution c) {
    String share = Figures.fixed(Math.abs(100 * c.share()), 0) + " %";
    return c.eases() ? ": eases it by " + share : ": " + share + " of this peak";
  }

  private static List<Contribution> pile(Turn turn) {
    Optional<MomentNow> moment = turn.model().momentNow();
    return moment.map(m -> m.pile().contributions()).orElse(List.of());
  }
}
