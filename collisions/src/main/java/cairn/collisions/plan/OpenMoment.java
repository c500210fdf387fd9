package cairn.collisions.plan;

/**
 * A moment that a plan does not clear.
 *
 * @param momentFrame its peak frame on the bus that the plan ends with
 * @param level what it leaves: its peak there, linear
 * @param why why it is left
 * @param partly whether the plan lowers it
 * @param words the same in plain words, for people
 */
public record OpenMoment(long momentFrame, double level, Why why, boolean partly, String words) {

  /** Why a plan leaves a moment. */
  public enum Why {
    /** It is level, not a spike. */
    LONG,
    /** The engineer called it fine. */
    FINE,
    /** No stem adds a tenth of it: it is the sum of many. */
    MANY_SMALL,
    /** Every stem that leads there is left alone. */
    LEFT_ALONE,
    /** Every hit there is sustained, and what can be done to those is not enough. */
    SUSTAINED,
    /** No fix within the limits lowers it by 0.1 dB. */
    NO_FIX,
    /** It is over after the fixes that a moment may have. */
    NOT_ENOUGH,
    /** It came up with a fix elsewhere, and nothing clears it. */
    NEW,
    /** The plan ended before it, at three marks for each moment. */
    OUT_OF_MARKS
  }
}
