package cairn.tui.model;

import cairn.collisions.Fader;
import cairn.collisions.plan.Plan;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;

/**
 * All that the screens show.
 *
 * @param size the window
 * @param look what the terminal can show
 * @param screen the screen in front
 * @param under the screens under it, to which {@code q} and Esc go back, the nearest last
 * @param title what is being read, safe to show
 * @param work long work that runs
 * @param song the analysis; empty: still being read
 * @param deeds what was decided
 * @param undone earlier deeds, the latest last
 * @param redoable deeds that were undone, the latest last
 * @param bus the bus with the deeds' marks; another bus's figures are never kept
 * @param moment the selected moment looked into; empty: being worked out
 * @param plan the plan for the deeds' marks
 * @param rows the list as sorted and narrowed
 * @param selected index of the selected row on each screen that has rows, by {@link Screen} ordinal
 * @param picked index of the picked stem; empty: the first of the pile
 * @param advised which of the moment's advice is proposed
 * @param allAlike whether a deed goes to all alike, or to the selected moment alone
 * @param whatIf whether marks are applied in what is shown
 * @param stepSize 0: 1 sample, 1: 0.1 ms, 2: 1 ms
 * @param zoom close-up width, 0 the narrowest
 * @param breadth breadth of the map: 0 song, 1 section, 2 16 s
 * @param order how the list is sorted
 * @param narrowed what the list is narrowed to; empty text: all
 * @param faders faders as collected on the Stems screen; those of the song until one is changed
 * @param field a text field that is open
 * @param message the message row; empty: the verdict is said
 * @param said all messages so far, the latest last
 * @param notes what is to know about the stems
 * @param readOnly why nothing can be saved; empty: it can
 * @param unsaved why the latest change is not saved; empty: it is, or is about to be
 * @param used tips that were used once
 * @param keys how many keys have been pressed
 */
public record Model(
    Size size,
    Look look,
    Screen screen,
    List<Screen> under,
    String title,
    Optional<Work> work,
    Optional<Song> song,
    Deeds deeds,
    List<Deeds> undone,
    List<Deeds> redoable,
    Optional<BusNow> bus,
    Optional<MomentNow> moment,
    Optional<Plan> plan,
    List<Row> rows,
    List<Integer> selected,
    OptionalInt picked,
    int advised,
    boolean allAlike,
    boolean whatIf,
    int stepSize,
    int zoom,
    int breadth,
    Order order,
    String narrowed,
    List<Fader> faders,
    Optional<TextField> field,
    Optional<String> message,
    List<String> said,
    List<String> notes,
    Optional<String> readOnly,
    Optional<String> unsaved,
    java.util.Set<String> used,
    long keys) {}
