package cairn.io.session;

import java.io.IOException;
import java.util.Objects;
import java.util.OptionalLong;

/**
 * Where the engineer was.
 *
 * @param order how moments are sorted
 * @param momentFrame peak frame of the moment that was selected; empty: none
 * @param whatIf whether figures are those with the marks applied
 * @param unknown fields of a later version
 */
public record SavedView(Order order, OptionalLong momentFrame, boolean whatIf, Unknown unknown) {

  /** At the highest moment, with the marks applied. */
  public static final SavedView DEFAULT =
      new SavedView(Order.EXCESS, OptionalLong.empty(), true, Unknown.NONE);

  /** How moments are sorted. */
  public enum Order {
    EXCESS,
    TIME,
    STEM
  }

  public SavedView {
    Objects.requireNonNull(order, "order");
    Objects.requireNonNull(momentFrame, "momentFrame");
    Objects.requireNonNull(unknown, "unknown");
  }

  /** The same with moments sorted in another way. */
  public SavedView withOrder(Order newOrder) {
    return new SavedView(newOrder, momentFrame, whatIf, unknown);
  }

  /** The same with another moment selected. */
  public SavedView withMoment(OptionalLong newMomentFrame) {
    return new SavedView(order, newMomentFrame, whatIf, unknown);
  }

  /** The same with the what-if on or off. */
  public SavedView withWhatIf(boolean newWhatIf) {
    return new SavedView(order, momentFrame, newWhatIf, unknown);
  }

  static SavedView read(Fields fields) throws IOException {
    return new SavedView(
        fields.word("order", Order.class).orElse(Order.EXCESS),
        fields.whole("moment"),
        !fields.flag("whatIfOff"),
        fields.unknown());
  }

  JsonTree.Obj write() {
    ObjectBuilder object = new ObjectBuilder().word("order", order);
    momentFrame.ifPresent(frame -> object.whole("moment", frame));
    return object.flag("whatIfOff", !whatIf).with(unknown);
  }
}
