package cairn.tui.effect;

import cairn.collisions.Pass;
import cairn.collisions.fix.FixFinder;
import cairn.collisions.fix.FixLimits;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.PlanOptions;
import cairn.collisions.plan.WhatIf;
import cairn.collisions.port.StemSource;
import java.io.Closeable;
import java.io.IOException;
import java.util.List;
import java.util.Optional;

/**
 * One analysis that is open: its pass, and the bus on which marks are tried. Its what-ifs share one
 * reader, so one thread at a time sums.
 */
final class Opened implements Closeable {

  final Pass pass;
  final FixFinder finder;

  /** Without the limits of a plan: what a key may put by hand. */
  final FixFinder byHand;

  private WhatIf latest;
  private volatile List<Moment> gone = List.of();

  Opened(Pass pass, StemSource source) throws IOException {
    this.pass = pass;
    finder = new FixFinder(pass.session(), pass.line(), PlanOptions.DEFAULT.limits());
    byHand = new FixFinder(pass.session(), pass.line(), FixLimits.DEFAULT);
    latest = WhatIf.of(pass, source);
  }

  /** The bus with marks; only what differs from the last one asked for is summed again. */
  synchronized WhatIf with(Marks marks) throws IOException {
    latest = latest.to(marks);
    return latest;
  }

  /** Between one moment and the next no samples are held. */
  synchronized void letGo() {
    latest.letGo();
  }

  /** What is left at the moments of the pass before that are gone. */
  void gone(List<Moment> moments) {
    gone = List.copyOf(moments);
  }

  /** What is left at one of them, by its peak frame. */
  Optional<Moment> goneAt(long frame) {
    return gone.stream().filter(moment -> moment.peakFrame() == frame).findFirst();
  }

  @Override
  public synchronized void close() throws IOException {
    latest.close();
  }
}
