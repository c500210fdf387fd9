package cairn.tui.terminal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.tui.model.Effect;
import cairn.tui.model.Event;
import cairn.tui.model.KeyPress;
import cairn.tui.model.Model;
import cairn.tui.model.Next;
import cairn.tui.model.Size;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import org.junit.jupiter.api.Test;

class LoopTest {

  private final BlockingQueue<Input> queue = new LinkedBlockingQueue<>();
  private final List<String> log = new ArrayList<>();

  private final Screen screen =
      new Screen() {
        @Override
        public int paint(Picture picture) {
          log.add("paint");
          return 0;
        }

        @Override
        public void forget() {
          log.add("forget");
        }

        @Override
        public void suspend() {
          log.add("suspend");
        }

        @Override
        public void resume() {
          log.add("resume");
        }
      };

  private final Loop.Effects effects =
      new Loop.Effects() {
        @Override
        public void begin(Effect effect) {
          log.add(effect.getClass().getSimpleName());
          if (effect instanceof Effect.Leave) {
            queue.add(new Input.Left());
          }
        }

        @Override
        public void settle() {
          log.add("settle");
        }
      };

  private Next update(Model model, Event event) {
    if (event instanceof Event.Pressed pressed) {
      log.add(pressed.key().toString());
      return switch (pressed.key().toString()) {
        case "q" -> new Next(model, List.of(new Effect.Leave()));
        case "c" -> new Next(model, List.of(new Effect.Cancel()));
        case "s" -> new Next(model, List.of(new Effect.Cancel(), new Effect.Save(1, null, true)));
        case "r" -> new Next(model, List.of(new Effect.Repaint()));
        default -> Next.of(model);
      };
    }
    return Next.of(model);
  }

  private void press(String keys) {
    keys.chars().forEach(key -> queue.add(new Input.Told(new Event.Pressed(KeyPress.text(key)))));
  }

  private String run(Screen onto) throws IOException, InterruptedException {
    new Loop(queue, this::update, model -> null, onto, effects).run(Next.of(null));
    return String.join(" ", log);
  }

  @Test
  void allKeysThatWaitAreTakenBeforeTheNextRepaintAndNoneIsDropped() throws Exception {
    press("jjnlq");
    assertEquals("settle paint j j n l q Leave", run(screen));
  }

  @Test
  void effectsAreBegunInOrderAndNoneIsLostOnLeaving() throws Exception {
    press("crq");
    assertEquals("settle paint c r forget q Cancel Leave", run(screen));
  }

  @Test
  void savingIsBegunAndSettledBeforeThePictureAllElseBegunAfterIt() throws Exception {
    press("s");
    Screen leavesOnceItHasPainted =
        new Screen() {
          @Override
          public int paint(Picture picture) {
            log.add("paint");
            if (log.contains("s")) {
              queue.add(new Input.HungUp());
            }
            return 0;
          }

          @Override
          public void forget() {}

          @Override
          public void suspend() {}

          @Override
          public void resume() {}
        };
    assertEquals("settle paint s Save settle paint Cancel Leave", run(leavesOnceItHasPainted));
  }

  @Test
  void theEndOfInputLeavesWithoutPaintingOnWhatIsGone() throws Exception {
    press("j");
    queue.add(new Input.HungUp());
    assertEquals("settle paint j Leave", run(screen));
  }

  @Test
  void suspendingAndGoingOnAreTheScreensMatter() throws Exception {
    queue.add(new Input.Suspend());
    queue.add(new Input.Continued());
    press("q");
    assertEquals("settle paint suspend resume q Leave", run(screen));
  }

  @Test
  void aTerminalThatFailsIsLeftOnceAllIsSaved() {
    Screen broken =
        new Screen() {
          @Override
          public int paint(Picture picture) throws IOException {
            throw new IOException("Input/output error");
          }

          @Override
          public void forget() {}

          @Override
          public void suspend() {}

          @Override
          public void resume() {}
        };
    assertThrows(IOException.class, () -> run(broken));
    assertTrue(log.contains("Leave"), log.toString());
  }

  @Test
  void afterLeavingNoKeyIsTaken() throws Exception {
    press("qjjj");
    queue.add(new Input.Told(new Event.Resized(new Size(80, 24))));
    assertEquals("settle paint q Leave", run(screen));
  }
}
