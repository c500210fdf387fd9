package cairn.io.session;

import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.plan.Mark;
import java.io.IOException;
import java.util.Locale;
import java.util.Objects;
import java.util.Optional;

/**
 * A mark whose stem is known by name and file, so that it outlives a stem that is missing.
 *
 * @param stem the stem that is changed; none for a moment called fine
 * @param mark the mark; the stem index in its fix is always 0 and means nothing
 * @param done whether it was carried out at the desk
 * @param unknown fields of a later version
 */
public record SavedMark(Optional<StemRef> stem, Mark mark, boolean done, Unknown unknown) {

  /** What the file calls a moment that is called fine. */
  private static final String FINE = "fine";

  public SavedMark {
    Objects.requireNonNull(stem, "stem");
    Objects.requireNonNull(unknown, "unknown");
    mark = onStem(mark, 0);
    if (stem.isPresent() != mark instanceof Mark.OfFix) {
      throw new IllegalArgumentException(
          "a fix has a stem, a moment called fine has none: stem=" + stem);
    }
  }

  /** A moment called fine, as a program of this version saves it. */
  public static SavedMark of(Mark.Fine mark, boolean done) {
    return new SavedMark(Optional.empty(), mark, done, Unknown.NONE);
  }

  /** A fix on a stem, as a program of this version saves it. */
  public static SavedMark of(StemRef stem, Mark.OfFix mark, boolean done) {
    return new SavedMark(Optional.of(stem), mark, done, Unknown.NONE);
  }

  /** The mark with its fix on stem {@code k} of a session. */
  public Mark on(int k) {
    return onStem(mark, k);
  }

  private static Mark onStem(Mark mark, int k) {
    if (mark instanceof Mark.OfFix made) {
      return new Mark.OfFix(made.momentFrame(), onStem(made.fix(), k), made.note());
    }
    return mark;
  }

  private static Fix onStem(Fix fix, int k) {
    if (fix instanceof Nudge nudge) {
      return new Nudge(k, nudge.startFrame(), nudge.endFrame(), nudge.frames());
    }
    if (fix instanceof Trim trim) {
      return new Trim(k, trim.startFrame(), trim.endFrame(), trim.tenthsDb());
    }
    Clip clip = (Clip) fix;
    return new Clip(k, clip.startFrame(), clip.endFrame(), clip.ceilingTenthsDb());
  }

  static SavedMark read(Fields fields) throws IOException {
    String kind = fields.needText("kind");
    long momentFrame = fields.needWhole("moment");
    Mark mark;
    Optional<StemRef> stem = Optional.empty();
    if (kind.equals(FINE)) {
      mark = Mark.fine(momentFrame);
    } else {
      stem = Optional.of(StemRef.read(fields));
      mark = Mark.of(momentFrame, readFix(kind, fields));
    }
    mark = mark.withNote(fields.text("note").orElse(""));
    return new SavedMark(stem, mark, fields.flag("done"), fields.unknown());
  }

  private static Fix readFix(String kind, Fields fields) throws IOException {
    return switch (kind) {
      case "nudge" ->
          new Nudge(
              0, fields.needWhole("start"), fields.needWhole("end"), fields.needInt("frames"));
      case "trim" ->
          new Trim(0, fields.needWhole("start"), fields.needWhole("end"), fields.needTenths("db"));
      case "clip" ->
          new Clip(
              0,
              fields.needWhole("start"),
              fields.needWhole("end"),
              fields.needTenths("ceilingDb"));
      default ->
          throw new IllegalArgumentException("kind must be one of nudge, trim, clip, " + FINE);
    };
  }

  JsonTree.Obj write() {
    ObjectBuilder object = new ObjectBuilder();
    if (mark instanceof Mark.OfFix made) {
      Fix fix = made.fix();
      object.text("kind", fix.kind().name().toLowerCase(Locale.ROOT));
      stem.orElseThrow().write(object);
      if (fix instanceof Nudge nudge) {
        object.whole("frames", nudge.frames());
      } else if (fix instanceof Trim trim) {
        object.number("db", trim.db());
      } else if (fix instanceof Clip clip) {
        object.number("ceilingDb", clip.ceilingDb());
      }
      object.whole("moment", mark.momentFrame());
      object.whole("start", fix.startFrame()).whole("end", fix.endFrame());
    } else {
      object.text("kind", FINE).whole("moment", mark.momentFrame());
    }
    return object.text("note", mark.note()).flag("done", done).with(unknown);
  }
}
