package cairn.io.stems;

import cairn.io.files.SafeText;
import cairn.io.sound.BroadcastInfo;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * Two mono files of one folder whose names differ only in a last {@code L} or {@code R}, after
 * {@code .}, {@code _}, {@code -} or a blank, are the channels of one stem: {@code bells.L.wav} and
 * {@code bells.R.wav}. Where they do not fit each other they stay two stems, and that is said.
 */
final class Pairing {

  /**
   * One stem to be: one file, or the left and the right one.
   *
   * @param left the file, or the left one
   * @param right the right one
   */
  record Sides(Probed left, Optional<Probed> right) {}

  /** What the name of one side says: what stands before the separator, and L or R. */
  private record Split(String base, char side) {}

  private final List<Note> notes;

  Pairing(List<Note> notes) {
    this.notes = notes;
  }

  /** The stems to be, in the order of the files, each pair in the left file's place. */
  List<Sides> pair(List<Probed> files) {
    Map<Probed, Probed> rightOf = new HashMap<>();
    Map<Probed, Probed> leftOf = new HashMap<>();
    List<String> said = new ArrayList<>();
    match(files, true, rightOf, leftOf, said);
    match(files, false, rightOf, leftOf, said);
    List<Sides> stems = new ArrayList<>();
    for (Probed file : files) {
      if (!leftOf.containsKey(file)) {
        stems.add(new Sides(file, Optional.ofNullable(rightOf.get(file))));
      }
    }
    if (!said.isEmpty()) {
      notes.add(
          new Note(
              Note.Kind.PAIRED,
              "taken as two-channel stems: " + String.join(", ", said) + "; undo with --no-pairs"));
    }
    return stems;
  }

  /**
   * Matches left files with right ones.
   *
   * @param sameEnding whether what follows the L or R must be equal too; if not, what matches is
   *     only told, since the codings differ
   */
  private void match(
      List<Probed> files,
      boolean sameEnding,
      Map<Probed, Probed> rightOf,
      Map<Probed, Probed> leftOf,
      List<String> said) {
    Map<List<String>, Probed> rights = new HashMap<>();
    for (Probed file : files) {
      Optional<Split> split = split(file);
      if (split.isPresent() && split.get().side() == 'R' && !leftOf.containsKey(file)) {
        rights.putIfAbsent(key(file, sameEnding), file);
      }
    }
    for (Probed left : files) {
      Optional<Split> split = split(left);
      if (split.isEmpty() || split.get().side() != 'L' || rightOf.containsKey(left)) {
        continue;
      }
      Probed right = rights.get(key(left, sameEnding));
      if (right == null
          || left.format().channels() != 1
          || right.format().channels() != 1
          || (!sameEnding && key(left, true).equals(key(right, true)))) {
        continue; // the last: told before
      }
      Optional<String> difference = difference(left, right);
      if (!sameEnding && difference.isEmpty()) {
        difference = Optional.of("their endings differ");
      }
      if (difference.isPresent()) {
        notes.add(
            new Note(
                Note.Kind.NOT_PAIRED,
                Notes.listed(List.of(left.shown(), right.shown()))
                    + " stay two mono stems: "
                    + difference.get()
                    + "; export them alike to have one two-channel stem"));
      } else {
        rightOf.put(left, right);
        leftOf.put(right, left);
        said.add("'" + left.shown() + "' with '" + right.shown() + "'");
      }
    }
  }

  /**
   * Files with equal keys belong together: the raw bytes of folder, base and separator, since two
   * names with bytes that are no text may decode alike. The path as a URI tells the bytes.
   */
  private static List<String> key(Probed file, boolean sameEnding) {
    String raw = file.found().path().toUri().getRawPath();
    int dot = raw.lastIndexOf('.');
    int end = dot > raw.lastIndexOf('/') + 1 ? dot : raw.length();
    return List.of(raw.substring(0, end - 1), sameEnding ? raw.substring(end) : "");
  }

  private static Optional<String> difference(Probed left, Probed right) {
    if (left.format().sampleRateHz() != right.format().sampleRateHz()) {
      return Optional.of(
          "their rates differ ("
              + left.format().sampleRateHz()
              + " and "
              + right.format().sampleRateHz()
              + " Hz)");
    }
    if (left.format().frames() != right.format().frames()) {
      return Optional.of(
          "their lengths differ ("
              + left.format().frames()
              + " and "
              + right.format().frames()
              + " samples)");
    }
    if (!left.format().equals(right.format())) {
      return Optional.of("their codings differ (" + coding(left) + " and " + coding(right) + ")");
    }
    Optional<Long> leftTime = left.broadcast().map(BroadcastInfo::timeReference);
    Optional<Long> rightTime = right.broadcast().map(BroadcastInfo::timeReference);
    if (leftTime.isPresent() && rightTime.isPresent() && !leftTime.equals(rightTime)) {
      return Optional.of(
          "their time references differ (" + leftTime.get() + " and " + rightTime.get() + ")");
    }
    return Optional.empty();
  }

  private static String coding(Probed file) {
    return file.format().container() + " " + file.format().coding();
  }

  private static Optional<Split> split(Probed file) {
    String stem = file.nameWithoutEnding();
    int last = stem.length() - 1;
    if (last < 2 || ".-_ ".indexOf(stem.charAt(last - 1)) < 0) {
      return Optional.empty();
    }
    char side = stem.charAt(last);
    return side == 'L' || side == 'R'
        ? Optional.of(new Split(stem.substring(0, last - 1), side))
        : Optional.empty();
  }

  /** The name of a pair: without the ending, the L and the separator; safe to show. */
  static String nameOf(Probed left) {
    return SafeText.of(split(left).orElseThrow().base());
  }
}
