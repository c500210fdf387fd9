package cairn.tui.terminal;

import cairn.tui.model.Effect;
import cairn.tui.model.Event;
import cairn.tui.model.Model;
import cairn.tui.model.Next;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.BlockingQueue;
import java.util.function.BiFunction;
import java.util.function.Function;

/**
 * Takes one thing after the other from the queue, on one thread; what has come meanwhile is all
 * taken in before anything is drawn, so that no key is dropped and only the newest state is
 * painted. While nothing comes, nothing is done.
 *
 * <p>Saving is begun at once, all other effects once the picture has left, so that no work on other
 * threads takes the processor from it.
 */
public final class Loop {

  /** Whoever carries out effects. */
  public interface Effects {

    /** Begins an effect; it answers through the queue. */
    void begin(Effect effect);

    /**
     * Waits until what was decided is safe, or cannot be, before it is shown as decided; not for
     * ever.
     */
    void settle();
  }

  private final BlockingQueue<Input> queue;
  private final BiFunction<Model, Event, Next> update;
  private final Function<Model, Picture> view;
  private final Screen screen;
  private final Effects effects;
  private Model model;
  private final List<Effect> waiting = new ArrayList<>();
  private boolean hasLeft;
  private boolean isLeaving;

  /** A loop over a queue that other threads fill. */
  public Loop(
      BlockingQueue<Input> queue,
      BiFunction<Model, Event, Next> update,
      Function<Model, Picture> view,
      Screen screen,
      Effects effects) {
    this.queue = queue;
    this.update = update;
    this.view = view;
    this.screen = screen;
    this.effects = effects;
  }

  /**
   * Runs until the walk is left.
   *
   * @param start the first model and what is to be done for it
   * @return the last model
   * @throws IOException if the terminal fails; all that was decided is saved nevertheless
   */
  public Model run(Next start) throws IOException, InterruptedException {
    next(start);
    try {
      paint();
      while (!hasLeft) {
        take(queue.take());
        Input more = queue.poll();
        while (more != null && !hasLeft) {
          take(more);
          more = queue.poll();
        }
        if (!hasLeft) {
          paint();
        }
      }
    } catch (IOException e) {
      leave();
      awaitLeft();
      throw e;
    }
    return model;
  }

  private void awaitLeft() throws InterruptedException {
    while (!hasLeft) {
      hasLeft = queue.take() instanceof Input.Left;
    }
  }

  private void paint() throws IOException {
    if (isLeaving) {
      return;
    }
    effects.settle();
    screen.paint(view.apply(model));
    beginWaiting();
  }

  private void beginWaiting() {
    waiting.forEach(effects::begin);
    waiting.clear();
  }

  private void next(Next next) {
    model = next.model();
    for (Effect effect : next.effects()) {
      if (effect instanceof Effect.Repaint) {
        screen.forget();
      } else if (effect instanceof Effect.Leave) {
        leave();
      } else if (effect instanceof Effect.Save) {
        effects.begin(effect);
      } else {
        waiting.add(effect);
      }
    }
  }

  private void leave() {
    if (!isLeaving) {
      isLeaving = true;
      beginWaiting();
      effects.begin(new Effect.Leave());
    }
  }

  private void take(Input input) throws IOException {
    if (input instanceof Input.Told told) {
      if (!isLeaving) {
        next(update.apply(model, told.event()));
      }
    } else if (input instanceof Input.Suspend) {
      screen.suspend();
    } else if (input instanceof Input.Continued) {
      screen.resume();
    } else if (input instanceof Input.HungUp) {
      leave();
    } else if (input instanceof Input.Left) {
      hasLeft = true;
    } else if (input instanceof Input.Broken broken) {
      throw new IllegalStateException(broken.cause());
    }
  }
}
