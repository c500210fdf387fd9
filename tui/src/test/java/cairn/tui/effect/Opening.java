package cairn.tui.effect;

import static org.junit.jupiter.api.Assertions.assertFalse;

import cairn.tui.model.Effect;
import cairn.tui.model.Event;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;

/** One opening of stems; events are taken in the order in which they come. */
final class Opening implements AutoCloseable {

  private final BlockingQueue<Event> events = new LinkedBlockingQueue<>();
  private final EffectRunner runner;

  /** What was noted until the last answer came. */
  final List<String> notes = new ArrayList<>();

  Opening(Stems stems) throws IOException {
    runner = new EffectRunner(stems, events::add);
    runner.open();
  }

  /** Begins an effect and waits for its answer. */
  <E extends Event> E answer(Effect effect, Class<E> kind) throws InterruptedException {
    runner.begin(effect);
    while (true) {
      Event event = events.poll(30, TimeUnit.SECONDS);
      if (event instanceof Event.Noted noted) {
        notes.addAll(noted.lines());
      }
      assertFalse(
          event == null
              || (event instanceof Event.Failed && kind != Event.Failed.class)
              || event instanceof Event.NotSaved,
          () -> "no " + kind.getSimpleName() + ": " + event);
      if (kind.isInstance(event)) {
        return kind.cast(event);
      }
    }
  }

  /** The stems as they are analysed at opening. */
  Event.SongRead read() throws InterruptedException {
    return answer(new Effect.Analyse(List.of(), Optional.empty()), Event.SongRead.class);
  }

  @Override
  public void close() throws IOException {
    runner.close();
  }
}
