package cairn.io.session;

import java.io.IOException;
import java.util.IdentityHashMap;
import java.util.List;

/**
 * Passes as they stand in the file, each printed once however often it is saved: a pass of 2,000
 * moments is nearly all of its session, and stays while marks come and go. For one thread at a
 * time.
 */
final class PrintedPasses {

  /** They stand in an array of the outermost object. */
  private static final int DEPTH = 2;

  private IdentityHashMap<SavedPass, JsonTree.Printed> known = new IdentityHashMap<>();

  /** Those of a session; all others are forgotten. */
  List<JsonTree.Printed> of(List<SavedPass> passes) throws IOException {
    IdentityHashMap<SavedPass, JsonTree.Printed> now = new IdentityHashMap<>();
    for (SavedPass pass : passes) {
      JsonTree.Printed printed = known.get(pass);
      now.put(pass, printed == null ? JsonText.printed(pass.write(), DEPTH) : printed);
    }
    known = now;
    return passes.stream().map(now::get).toList();
  }
}
