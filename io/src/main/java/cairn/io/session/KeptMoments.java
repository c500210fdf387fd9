package cairn.io.session;

import static java.nio.charset.StandardCharsets.US_ASCII;
import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.AbstractList;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.zip.CRC32;

/**
 * The moments of a pass as they stand in a session file, taken apart once somebody asks for one.
 * They are nearly all of a session, and the walk needs none of them while its stems are the same:
 * 2,000 take 0.15 s at the start.
 *
 * <p>Before them stands how many bytes they take and what their CRC-32 is (ISO 3309, as in {@link
 * CRC32}). Only if both are right are they what this program wrote, and may wait; else they are
 * read with all the rest, and what is wrong in them is told at once.
 *
 * <p>For one thread at a time.
 */
final class KeptMoments extends AbstractList<SavedMoment> {

  /** The field before the moments. */
  static final String CHECK = "momentsCheck";

  /** How deep the array stands in the file: in a pass, in their array, in the session. */
  private static final int DEPTH = 3;

  private static final byte[] BEFORE_CHECK = ascii("\"" + CHECK + "\": \"");
  private static final byte[] BEFORE_MOMENTS = ascii("\",\n      \"moments\": ");
  private static final byte[] NONE = ascii("[]");

  /** What of {@link #BEFORE_MOMENTS} stands before the end of the check's line. */
  private static final int BEFORE_LINE_ENDS = 2;

  private final byte[] text;
  private final int stems;
  private List<SavedMoment> read;

  private KeptMoments(byte[] text, int stems) {
    this.text = text;
    this.stems = stems;
  }

  /** Moments as they are printed in their place, and what is said of them before. */
  record Printed(String check, JsonTree.Printed array) {

    /** Those of a list, taken over where they were not taken apart. */
    static Printed of(List<SavedMoment> moments) throws IOException {
      if (moments instanceof KeptMoments kept) {
        return new Printed(
            checkOf(kept.text, 0, kept.text.length),
            new JsonTree.Printed(new String(kept.text, UTF_8)));
      }
      List<JsonTree> trees = new ArrayList<>(moments.size());
      moments.forEach(moment -> trees.add(moment.write()));
      JsonTree.Printed array = JsonText.printed(new JsonTree.Arr(trees), DEPTH);
      byte[] bytes = array.text().getBytes(UTF_8);
      return new Printed(checkOf(bytes, 0, bytes.length), array);
    }
  }

  private static String checkOf(byte[] bytes, int from, int length) {
    CRC32 crc = new CRC32();
    crc.update(bytes, from, length);
    return length + " " + crc.getValue();
  }

  /** A session's bytes without the moments that may wait. */
  static final class Split {
    private final Map<String, byte[]> texts = new HashMap<>();
    private byte[] rest;

    /** Leaves an empty array in place of each array that is as its check says. */
    Split(byte[] file) {
      rest = new byte[file.length];
      int written = 0;
      int taken = 0;
      int at = find(file, BEFORE_CHECK, 0);
      while (at >= 0) {
        int next = at + BEFORE_CHECK.length;
        int end = endOfLine(file, next);
        int from = end + BEFORE_MOMENTS.length - BEFORE_LINE_ENDS;
        String said = new String(file, next, Math.max(0, end - BEFORE_LINE_ENDS - next), US_ASCII);
        int length = length(said);
        if (length >= NONE.length
            && length <= file.length - from
            && stands(BEFORE_MOMENTS, file, end - BEFORE_LINE_ENDS)
            && said.equals(checkOf(file, from, length))) {
          texts.put(said, Arrays.copyOfRange(file, from, from + length));
          System.arraycopy(file, taken, rest, written, from - taken);
          written += from - taken;
          System.arraycopy(NONE, 0, rest, written, NONE.length);
          written += NONE.length;
          taken = from + length;
          next = taken;
        }
        at = find(file, BEFORE_CHECK, next);
      }
      System.arraycopy(file, taken, rest, written, file.length - taken);
      rest = texts.isEmpty() ? file : Arrays.copyOf(rest, written + file.length - taken);
    }

    private static int endOfLine(byte[] file, int from) {
      int end = from;
      while (end < file.length && file[end] != '\n') {
        end++;
      }
      return end;
    }

    /** How many bytes a check speaks of; 0: that is no check. */
    private static int length(String check) {
      int digits = Math.max(0, check.indexOf(' '));
      try {
        return Integer.parseInt(check.substring(0, digits));
      } catch (NumberFormatException e) {
        return 0;
      }
    }

    /** The session without them. */
    byte[] rest() {
      return rest;
    }

    /** Whether nothing may wait. */
    boolean isWhole() {
      return texts.isEmpty();
    }

    /** The moments of a pass of so many stems, as its fields say. */
    List<SavedMoment> of(Fields pass, int stems) throws IOException {
      byte[] text = pass.text(CHECK).map(texts::get).orElse(null);
      List<SavedMoment> there = pass.objects("moments", SavedMoment::read);
      return text == null || !there.isEmpty() ? there : new KeptMoments(text, stems);
    }
  }

  private static int find(byte[] bytes, byte[] what, int from) {
    for (int i = from; i <= bytes.length - what.length; i++) {
      if (bytes[i] == what[0] && stands(what, bytes, i)) {
        return i;
      }
    }
    return -1;
  }

  private static boolean stands(byte[] what, byte[] bytes, int at) {
    return at >= 0
        && at <= bytes.length - what.length
        && Arrays.equals(bytes, at, at + what.length, what, 0, what.length);
  }

  private static byte[] ascii(String text) {
    return text.getBytes(US_ASCII);
  }

  private List<SavedMoment> read() {
    if (read == null) {
      try {
        JsonTree.Obj all = new JsonTree.Obj(Map.of("moments", JsonText.parse(text)));
        read =
            Fields.ofRoot(
                all,
                fields -> {
                  List<SavedMoment> moments = fields.objects("moments", SavedMoment::read);
                  SavedMoment.checkAll(moments, stems);
                  return List.copyOf(moments);
                });
      } catch (IOException e) {
        // The check was right, so this is what was written.
        throw new UncheckedIOException(e);
      }
    }
    return read;
  }

  @Override
  public SavedMoment get(int index) {
    return read().get(index);
  }

  @Override
  public int size() {
    return read().size();
  }

  @Override
  public boolean isEmpty() {
    return read == null ? text.length <= NONE.length : read.isEmpty();
  }
}
