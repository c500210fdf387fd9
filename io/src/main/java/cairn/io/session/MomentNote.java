package cairn.io.session;

import java.io.IOException;
import java.util.Objects;

/**
 * What the engineer wrote beside a moment that has no mark; of a marked one the mark holds it.
 *
 * @param momentFrame peak frame of the moment
 * @param text as it was typed; not made safe to show
 * @param unknown fields of a later version
 */
public record MomentNote(long momentFrame, String text, Unknown unknown) {
  public MomentNote {
    Objects.requireNonNull(unknown, "unknown");
    if (momentFrame < 0) {
      throw new IllegalArgumentException("moment must be >= 0: moment=" + momentFrame);
    }
    if (text.isBlank()) {
      throw new IllegalArgumentException("a note must have a text");
    }
  }

  /** A note as a program of this version saves it. */
  public MomentNote(long momentFrame, String text) {
    this(momentFrame, text, Unknown.NONE);
  }

  static MomentNote read(Fields fields) throws IOException {
    return new MomentNote(fields.needWhole("moment"), fields.needText("text"), fields.unknown());
  }

  JsonTree.Obj write() {
    return new ObjectBuilder().whole("moment", momentFrame).text("text", text).with(unknown);
  }
}
