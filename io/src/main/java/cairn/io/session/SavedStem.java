package cairn.io.session;

import cairn.collisions.Fader;
import java.io.IOException;
import java.util.Objects;

/**
 * A stem with what was set for it.
 *
 * @param ref what it is known by
 * @param fader how it goes into the bus
 * @param leftAlone whether no fix may touch it
 * @param unknown fields of a later version
 */
public record SavedStem(StemRef ref, Fader fader, boolean leftAlone, Unknown unknown) {
  public SavedStem {
    Objects.requireNonNull(ref, "ref");
    Objects.requireNonNull(fader, "fader");
    Objects.requireNonNull(unknown, "unknown");
  }

  /** A stem as a program of this version sets it. */
  public SavedStem(StemRef ref, Fader fader, boolean leftAlone) {
    this(ref, fader, leftAlone, Unknown.NONE);
  }

  static SavedStem read(Fields fields) throws IOException {
    return new SavedStem(
        StemRef.read(fields),
        new Fader(
            fields.number("gainDb").orElse(0),
            fields.flag("reversed"),
            fields.flag("muted"),
            fields.flag("soloed"),
            fields.whole("offset").orElse(0)),
        fields.flag("leftAlone"),
        fields.unknown());
  }

  JsonTree.Obj write() {
    return ref.write()
        .number("gainDb", fader.gainDb())
        .flag("reversed", fader.reversed())
        .flag("muted", fader.muted())
        .flag("soloed", fader.soloed())
        .whole("offset", fader.offset())
        .flag("leftAlone", leftAlone)
        .with(unknown);
  }
}
