package cairn.tui.update;

import cairn.collisions.moment.Contribution;
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
      turn.say("the pile has " + pile.size() + " stems");
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
    turn.say(turn.now.song.map(song -> song.files().get(stem)).orElse(turn.stem(stem)));
  }

  private static List<Contribution> pile(Turn turn) {
    Optional<MomentNow> moment = turn.model().momentNow();
    return moment.map(m -> m.pile().contributions()).orElse(List.of());
  }
}
