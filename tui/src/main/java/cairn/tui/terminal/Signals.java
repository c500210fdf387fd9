package cairn.tui.terminal;

import java.lang.reflect.Proxy;

/**
 * Signals of the system. The class that takes them is not part of the Java platform proper (module
 * {@code jdk.unsupported}), so it is found by its name; without it a resize is seen at the next
 * repaint alone.
 */
final class Signals {

  private Signals() {}

  /**
   * Runs something, on a thread of its own, whenever a signal comes.
   *
   * @param name its name without SIG: WINCH
   */
  static void on(String name, Runnable deed) {
    try {
      Class<?> signal = Class.forName("sun.misc.Signal");
      Class<?> handler = Class.forName("sun.misc.SignalHandler");
      Object taker =
          Proxy.newProxyInstance(
              Signals.class.getClassLoader(),
              new Class<?>[] {handler},
              (proxy, method, args) -> {
                if (method.getName().equals("handle")) {
                  deed.run();
                  return null;
                }
                return switch (method.getName()) {
                  case "equals" -> proxy == args[0];
                  case "hashCode" -> System.identityHashCode(proxy);
                  default -> "on " + name;
                };
              });
      signal
          .getMethod("handle", signal, handler)
          .invoke(null, signal.getConstructor(String.class).newInstance(name), taker);
    } catch (ReflectiveOperationException | IllegalArgumentException e) {
      // No such signal here, or no way to take it: said above.
    }
  }
}
