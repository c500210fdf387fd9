package cairn.collisions.check;

import java.util.Comparator;
import java.util.Objects;

/**
 * Something about the stems, or the bounced mix, that may spoil the hunt.
 *
 * @param kind what it is about
 * @param what one sentence without a stop, safe to show: which stem, and what is wrong with it
 * @param where a place in the song or among the files, safe to show; may be empty
 * @param weight how much it matters for the hunt
 * @param whatToDo one sentence without a stop, that begins with a verb
 */
public record Finding(Kind kind, String what, String where, Weight weight, String whatToDo) {

  /** The heaviest first, then in the order of kinds; those of one kind stay in their order. */
  public static final Comparator<Finding> ORDER =
      Comparator.comparing(Finding::weight).thenComparing(Finding::kind);

  /** What a finding is about, and what whoever sent the stems can be asked for. */
  public enum Kind {
    UNREADABLE("please send this file again"),
    RATE("please export it again at the rate of the others"),
    TIME_REFERENCE("please tell whether all stems start at the same moment"),
    LENGTH("please export it from the common start to the common end"),
    MENDED("please export it once more, in full"),
    CLIPPED("please export it again a few decibels lower, if the original is not clipped"),
    OVER_FULL_SCALE(""),
    OFFSET("please export it again through a filter that takes the constant part away"),
    SILENT("please look whether it was muted when it was exported"),
    DOUBLE("please tell which one of them belongs to the song"),
    INVERTED("please look at the polarity of both: together they cancel each other"),
    FULL_MIX("please tell whether it is a mix of the others, for reference"),
    NAME("please give them names that differ in more than upper and lower case"),
    NOT_PAIRED("please export both sides alike"),
    BIT_DEPTH("please export all stems at one bit depth, the highest that you have"),
    SKIPPED(""),
    PRINT("please look whether this mix is of the same version as the stems"),
    PRINT_LENGTH("please send the whole mix, from the common start to the common end"),
    PRINT_OFFSET(""),
    PRINT_GAIN(""),
    PRINT_POLARITY("please look at the polarity of the mix"),
    PRINT_STEM("please look whether it is in the mix as it was exported"),
    PRINT_REST("please look whether a stem is missing: the mix holds more than their sum"),
    PRINT_DYNAMICS("please tell what worked on the mix bus");

    private final String request;

    Kind(String request) {
      this.request = request;
    }

    /** What to ask for, a sentence without a stop; empty if there is nothing to be asked. */
    public String request() {
      return request;
    }
  }

  public Finding {
    Objects.requireNonNull(kind, "kind");
    Objects.requireNonNull(what, "what");
    Objects.requireNonNull(where, "where");
    Objects.requireNonNull(weight, "weight");
    Objects.requireNonNull(whatToDo, "whatToDo");
  }
}
