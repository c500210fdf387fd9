package cairn.io.session;

import static java.nio.charset.StandardCharsets.US_ASCII;
import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
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
 * <p>Before them stands how many bytes they take, what their CRC-32 is (ISO 3309, as in {@link
 * CRC32}), and how many stems they were found in. Only if all of it is right do they wait, since
 * then they are what was written with it; else they are read with all the rest, and what is wrong
 * in them is told at once.
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

  /** More than three numbers take. */
  private static final int MOST_CHECK_BYTES = 40;

  private final Path file;
  private final byte[] text;
  private final int stems;
  private List<SavedMoment> read;

  private KeptMoments(Path file, byte[] text, int stems) {
    this.file = file;
    this.text = text;
    this.stems = stems;
  }

  /** Moments as they are printed in their place, and what is said of them before. */
  record Printed(String check, JsonTree.Printed array) {

    /** Those of a pass of so many stems, as they stand where they were not taken apart. */
    static Printed of(List<SavedMoment> moments, int stems) throws IOException {
      if (moments instanceof KeptMoments kept) {
        return new Printed(
            checkOf(kept.text, 0, kept.text.length, kept.stems),
            new JsonTree.Printed(new String(kept.text, UTF_8)));
      }
      List<JsonTree> trees = new ArrayList<>(moments.size());
      moments.forEach(moment -> trees.add(moment.write()));
      JsonTree.Printed array = JsonText.printed(new JsonTree.Arr(trees), DEPTH);
      byte[] bytes = array.text().getBytes(UTF_8);
      return new Printed(checkOf(bytes, 0, bytes.length, stems), array);
    }
  }

  private static String checkOf(byte[] bytes, int from, int length, int stems) {
    CRC32 crc = new CRC32();
    crc.update(bytes, from, length);
    return length + " " + crc.getValue() + " " + stems;
  }

  /** A session's bytes without the moments that may wait. */
  static final class Split {
    private final Path file;
    private final Map<String, byte[]> texts = new HashMap<>();
    private byte[] rest;
    private int cut;
    private int given;

    private Split(Path file, byte[] bytes) {
      this.file = file;
      rest = bytes;
    }

    /** Leaves all as it is. */
    static Split none(Path file, byte[] bytes) {
      return new Split(file, bytes);
    }

    /** Leaves an empty array in place of each array that is as its check says. */
    static Split of(Path file, byte[] bytes) {
      Split split = new Split(file, bytes);
      split.cut(bytes);
      return split;
    }

    private void cut(byte[] bytes) {
      byte[] left = null;
      int written = 0;
      int taken = 0;
      // However many checks there are, and however wrong: no byte is looked at more than twice.
      long room = 2L * bytes.length;
      int next = 0;
      for (int at = find(bytes, BEFORE_CHECK, 0); at >= 0; at = find(bytes, BEFORE_CHECK, next)) {
        next = at + BEFORE_CHECK.length;
        int end = endOfText(bytes, next);
        String said = new String(bytes, next, end - next, US_ASCII);
        int from = end + BEFORE_MOMENTS.length;
        int length = number(said, 0);
        if (length < NONE.length
            || length > bytes.length - from
            || !stands(BEFORE_MOMENTS, bytes, end)) {
          continue;
        }
        room -= length;
        if (room < 0) {
          break;
        }
        if (said.equals(checkOf(bytes, from, length, number(said, 2)))) {
          texts.put(said, Arrays.copyOfRange(bytes, from, from + length));
          cut++;
          left = left == null ? new byte[bytes.length] : left;
          System.arraycopy(bytes, taken, left, written, from - taken);
          written += from - taken;
          System.arraycopy(NONE, 0, left, written, NONE.length);
          written += NONE.length;
          taken = from + length;
          next = taken;
        }
      }
      if (left != null) {
        System.arraycopy(bytes, taken, left, written, bytes.length - taken);
        rest = Arrays.copyOf(left, written + bytes.length - taken);
      }
    }

    private static int endOfText(byte[] bytes, int from) {
      int most = Math.min(bytes.length, from + MOST_CHECK_BYTES);
      int end = from;
      while (end < most && bytes[end] != '"') {
        end++;
      }
      return end;
    }

    /** One of the numbers of a check; −1: there is none. */
    private static int number(String check, int which) {
      String[] numbers = check.split(" ", -1);
      try {
        return which < numbers.length ? Integer.parseInt(numbers[which]) : -1;
      } catch (NumberFormatException e) {
        return -1;
      }
    }

    /** The session without them. */
    byte[] rest() {
      return rest;
    }

    /** Whether nothing waits. */
    boolean isWhole() {
      return cut == 0;
    }

    /** Whether each of them was asked for: none stood anywhere but in a pass. */
    boolean isUsedUp() {
      return cut == given;
    }

    /** The moments of a pass of so many stems, as its fields say. */
    List<SavedMoment> of(Fields pass, int stems) throws IOException {
      String check = pass.text(CHECK).orElse("");
      List<SavedMoment> there = pass.objects("moments", SavedMoment::read);
      byte[] text = texts.get(check);
      if (text == null || !there.isEmpty() || number(check, 2) != stems) {
        return there;
      }
      given++;
      return new KeptMoments(file, text, stems);
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
        read =
            Fields.ofRoot(
                new JsonTree.Obj(Map.of("moments", JsonText.parse(text))),
                fields -> {
                  List<SavedMoment> moments = fields.objects("moments", SavedMoment::read);
                  SavedMoment.checkAll(moments, stems);
                  return List.copyOf(moments);
                });
      } catch (Fields.Wrong e) {
        throw damaged(e.place(), e);
      } catch (IOException e) {
        throw damaged("moments", e);
      }
    }
    return read;
  }

  /** Somebody made a file whose check is right and whose moments are wrong. */
  private UncheckedIOException damaged(String place, IOException e) {
    return new UncheckedIOException(new UnusableSession.Damaged(file, place, e.getMessage()));
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
