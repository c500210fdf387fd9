package cairn.io.session;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.PeakMode;
import cairn.collisions.line.Line;
import cairn.collisions.plan.EarlierPass;
import cairn.collisions.time.TempoMap;
import cairn.io.files.WholeFile;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import java.util.zip.CRC32;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class SessionFileTest {

  /** Another reader and writer of RFC 8259. */
  private static final ObjectMapper MAPPER = new ObjectMapper();

  @TempDir Path folder;

  private Path file() {
    return folder.resolve(SessionFile.NAME);
  }

  private Path with(String text) throws IOException {
    return Files.writeString(file(), text);
  }

  private String text(SavedSession session) throws IOException {
    return new String(SessionFile.bytes(session), StandardCharsets.UTF_8);
  }

  private <E extends UnusableSession> String refusal(Class<E> type, String text)
      throws IOException {
    Path file = with(text);
    String message = assertThrows(type, () -> SessionFile.read(file)).getMessage();
    assertTrue(message.startsWith("'" + file + "' "), message);
    assertEquals(-1, message.indexOf('\n'), message);
    assertEquals(text, Files.readString(file));
    return message.substring(file.toString().length() + 3);
  }

  private List<String> names() throws IOException {
    try (Stream<Path> files = Files.list(folder)) {
      return files.map(p -> p.getFileName().toString()).sorted().toList();
    }
  }

  @Test
  void whatIsWrittenIsReadAgainToTheBit() throws IOException {
    for (SavedSession session : List.of(Sessions.fresh(), Sessions.full())) {
      SessionFile.write(file(), session, List.of());
      assertEquals(session, SessionFile.read(file()));
    }
    assertEquals(List.of(SessionFile.NAME), names());
  }

  /**
   * The file is as the grammar stood when sessions were first written, before any pass was kept.
   */
  @Test
  void aFileOfTheFirstFormIsStillRead() throws IOException {
    SavedSession session = SessionFile.read(Path.of("src/test/resources/sessions/first-form.json"));
    assertEquals(
        Optional.of(new TempoMap(104, 4, 4, 0.5)),
        session.settings().tempo(),
        "one tempo and meter, now a map of one each");
    assertEquals(new Line.Margin(1.5), session.settings().asked().line());
    assertEquals(PeakMode.SAMPLE_PEAK, session.settings().asked().mode());
    assertEquals(4, session.marks().size());
    assertTrue(session.marks().get(0).done());
    assertEquals(Optional.of("with the hall"), session.marks().get(0).mark().note());
    assertEquals(-9.0, session.preferences().goalLufs().getAsDouble());
    SavedPass pass = session.passes().get(0);
    assertEquals(PeakMode.SAMPLE_PEAK, pass.mode());
    EarlierPass earlier = pass.earlier(session.settings().tempo()).orElseThrow();
    // A = 0.5 and a margin of 1.5 dB.
    assertEquals(0.5 * Math.pow(10, 1.5 / 20), earlier.lineLevel(), 1e-15);
    assertEquals(3_600_100, earlier.moments().get(0).peakFrame());
    assertEquals(List.of(), earlier.stems(), "their peaks were not kept");
    // Written again, in the form of today, it is the same session.
    assertEquals(session, SessionFile.read(with(text(session))));
  }

  private static SavedMoment at(SavedMoment like, long peakFrame) {
    return new SavedMoment(
        peakFrame,
        like.channel(),
        like.peak(),
        like.averagePeak(),
        like.line(),
        peakFrame - 10,
        peakFrame + 10,
        like.overFrames(),
        like.longestRun(),
        like.isLong(),
        like.makingUp(),
        1,
        like.alike(),
        like.instant(),
        like.told(),
        like.unknown());
  }

  private static SavedPass with(SavedPass like, int number, List<SavedMoment> moments) {
    return new SavedPass(
        number,
        like.when(),
        like.sampleRateHz(),
        like.range(),
        like.windowFrames(),
        like.mode(),
        like.baseline(),
        like.asked(),
        like.averagePeaks(),
        like.loudPart(),
        like.peak(),
        like.peakFrame(),
        like.stems(),
        moments,
        like.shiftFrames(),
        like.busPeaks(),
        like.marks(),
        like.unknown());
  }

  @Test
  void aLongSessionTakesBoundedRoom() throws IOException {
    int moments = 1_500;
    SavedSession session = Sessions.fresh();
    SavedPass one = Sessions.full().passes().get(0);
    SavedMoment moment = one.moments().get(0);
    List<SavedMoment> many = new ArrayList<>();
    for (int i = 0; i < moments; i++) {
      many.add(at(moment, 1_000L + 7_919L * i));
    }
    List<SavedPass> passes = new ArrayList<>();
    for (int number = 1; number <= 6; number++) {
      passes.add(with(one, number, many));
      session = session.withPasses(passes);
      if (number < 6) {
        session = session.withNextPass(0);
      }
      passes = new ArrayList<>(session.passes());
    }
    assertEquals(6, session.passes().size());
    // The pass that is walked, the one it is compared with, and 2,000 moments of older ones at
    // most.
    List<Integer> kept = session.passes().stream().map(pass -> pass.moments().size()).toList();
    assertEquals(List.of(0, 0, 0, moments, moments, moments), kept);
    assertEquals(one.peak(), session.passes().get(0).peak());
    int bytes = SessionFile.bytes(session).length;
    assertTrue(bytes < 3 * moments * 400 + 50_000, "bytes=" + bytes);
    assertEquals(session, SessionFile.read(with(text(session))));
  }

  @Test
  void passesThatWerePrintedBeforeStandInTheFileAsIfPrintedAnew() throws IOException {
    PrintedPasses passes = new PrintedPasses();
    SavedSession session = Sessions.full();
    SavedPass first = session.passes().get(0);
    byte[] once = SessionFile.bytes(session, passes);
    assertArrayEquals(once, SessionFile.bytes(session, passes));
    assertArrayEquals(SessionFile.bytes(session), once);
    assertSame(passes.of(List.of(first)).get(0), passes.of(List.of(first)).get(0));
    JsonTree whole = new JsonTree.Obj(Map.of("passes", new JsonTree.Arr(List.of(first.write()))));
    JsonTree apart =
        new JsonTree.Obj(
            Map.of("passes", new JsonTree.Arr(List.of(JsonText.printed(first.write(), 2)))));
    assertArrayEquals(JsonText.print(whole), JsonText.print(apart));
    // One of them has changed, the other is gone.
    SavedPass other = first.withMoments(List.of());
    SavedSession changed = session.withPasses(List.of(other));
    assertArrayEquals(SessionFile.bytes(changed), SessionFile.bytes(changed, passes));
    assertEquals(
        changed,
        SessionFile.read(
            with(new String(SessionFile.bytes(changed, passes), StandardCharsets.UTF_8))));
  }

  @Test
  void momentsWaitUntilTheyAreAskedForAndAreWrittenAgainAsTheyStand() throws IOException {
    SavedSession session = Sessions.full();
    String text = text(session);
    JsonNode pass = MAPPER.readTree(text).at("/passes/0");
    int from = text.indexOf("[\n        {\"frame\"");
    byte[] array =
        text.substring(from, text.indexOf("\n      ]", from) + 8).getBytes(StandardCharsets.UTF_8);
    CRC32 crc = new CRC32();
    crc.update(array);
    assertEquals(array.length + " " + crc.getValue() + " 2", pass.get("momentsCheck").textValue());

    SavedSession read = SessionFile.read(with(text));
    for (SavedPass each : read.passes()) {
      assertInstanceOf(KeptMoments.class, each.moments());
      assertFalse(each.moments().isEmpty());
    }
    assertEquals(text, text(read));
    assertEquals(session, read);
    assertEquals(text, text(read), "taken apart meanwhile");
    SavedPass other =
        read.passes().get(0).withMoments(read.passes().get(0).moments().subList(1, 2));
    assertEquals(
        List.of(other), SessionFile.read(with(text(read.withPasses(List.of(other))))).passes());
  }

  @Test
  void momentsThatAreNotAsTheirCheckSaysAreReadAtOnce() throws IOException {
    String text = text(Sessions.full());
    String shorter = text.replaceFirst("\"firstOver\": 47995", "\"firstOver\": 7995");
    SavedSession read = SessionFile.read(with(shorter));
    assertEquals(7_995, read.passes().get(0).moments().get(0).firstOver());
    assertFalse(read.passes().get(0).moments() instanceof KeptMoments);
    assertInstanceOf(KeptMoments.class, read.passes().get(1).moments());
    String wrong = text.replaceFirst("\"firstOver\": 47995", "\"firstOver\": 57995");
    assertTrue(
        refusal(UnusableSession.Damaged.class, wrong).contains("passes[0].moments[0]"), wrong);
    for (String check :
        List.of(
            "", "5", "-1 5 2", "99999999999 5 2", "519", "2147483647 1 2", "2 x 2", "9 9 9 9")) {
      String other = text.replaceAll("(\"momentsCheck\": \")[^\"]*", "$1" + check);
      assertEquals(Sessions.full(), SessionFile.read(with(other)), check);
    }
    // What follows moments that wait is told of at its place in the file.
    String end = text.replaceFirst("\\]\\s*\\}\\s*$", "");
    String place = "line " + end.split("\n", -1).length;
    assertTrue(refusal(UnusableSession.Damaged.class, end).contains(place), place);
  }

  @Test
  void momentsOfOtherStemsThanTheirPassHasAreReadAtOnceToo() throws IOException {
    ObjectNode root = (ObjectNode) MAPPER.readTree(SessionFile.bytes(Sessions.full()));
    ((ArrayNode) root.at("/passes/0/stems")).remove(1);
    SavedSession fewer = Sessions.full();
    String text = text(fewer);
    int from = text.indexOf("        {\"stem\": \"caixa\"", text.indexOf("\"passes\""));
    int line = text.indexOf('\n', from) + 1;
    // The comma of the line before goes too.
    String without = text.substring(0, text.lastIndexOf(',', from)) + "\n" + text.substring(line);
    assertEquals(root, MAPPER.readTree(without));
    assertTrue(refusal(UnusableSession.Damaged.class, without).contains("makingUp must name"));
  }

  @Test
  void aCheckAndItsMomentsAnywhereElseAreLeftAsTheyStand() throws IOException {
    String text = text(Sessions.full());
    int from = text.indexOf("\"momentsCheck\"");
    String moments = text.substring(from, text.indexOf("\n      ]", from) + 8);
    String later =
        text.replaceFirst(
            "\\{", Matcher.quoteReplacement("{\n\"laterPasses\": [{\n      " + moments + "}],"));
    JsonNode before = MAPPER.readTree(later);
    assertEquals(2, before.at("/laterPasses/0/moments").size());
    SavedSession read = SessionFile.read(with(later));
    assertEquals(
        before.get("laterPasses"), MAPPER.readTree(SessionFile.bytes(read)).get("laterPasses"));
  }

  @Test
  void aFileFullOfWrongChecksIsReadInItsTime() {
    for (String piece :
        List.of("\"momentsCheck\": \"", "\"momentsCheck\": \"900000 1 2\",\n      \"moments\": ")) {
      String text = "{\"schema\": \"cairn-session/1\", " + piece.repeat(2_000_000 / piece.length());
      assertThrows(UnusableSession.Damaged.class, () -> SessionFile.read(with(text)));
    }
  }

  @Test
  void momentsThatSomebodyCheckedWronglyAreDamage() throws IOException {
    String text = text(Sessions.full());
    int from = text.indexOf("[\n        {\"frame\"");
    int end = text.indexOf("\n      ]", from) + 8;
    String wrong = "[1, 2]";
    CRC32 crc = new CRC32();
    crc.update(wrong.getBytes(StandardCharsets.UTF_8));
    String made =
        (text.substring(0, from) + wrong + text.substring(end))
            .replaceFirst("(momentsCheck\": \")[^\"]*", "$1" + "6 " + crc.getValue() + " 2");
    SavedSession read = SessionFile.read(with(made));
    Throwable told =
        assertThrows(UncheckedIOException.class, () -> read.passes().get(0).moments().get(0))
            .getCause();
    assertInstanceOf(UnusableSession.Damaged.class, told);
    assertTrue(told.getMessage().contains("moments[0]: must be an object"), told.getMessage());
  }

  @Test
  void anotherReaderFindsWhatTheGrammarSays() throws IOException {
    JsonNode root = MAPPER.readTree(SessionFile.bytes(Sessions.full()));
    assertEquals("cairn-session/1", root.at("/schema").textValue());
    assertEquals(-24, root.at("/stems/0/offset").longValue());
    assertTrue(root.at("/stems/0/reversed").booleanValue());
    assertEquals("drums/caixa.wav", root.at("/marks/0/file").textValue());
    assertEquals(-29, root.at("/marks/0/frames").intValue());
    assertEquals(1.2, root.at("/marks/1/db").doubleValue());
    assertEquals("mind the \"hall\"\n", root.at("/marks/1/note").textValue());
    assertEquals(-10.6, root.at("/marks/2/ceilingDb").doubleValue());
    assertEquals("fine", root.at("/marks/3/kind").textValue());
    assertEquals(Math.nextUp(0.5), root.at("/passes/1/moments/0/told").doubleValue());
    assertEquals(0.1 + 0.2, root.at("/passes/0/averagePeaks/0").doubleValue());
  }

  @Test
  void aMarkAndAMomentTakeALineEach() throws IOException {
    List<String> lines = text(Sessions.full()).lines().toList();
    assertEquals(4, lines.stream().filter(line -> line.contains("\"kind\"")).count());
    assertEquals(4, lines.stream().filter(line -> line.contains("\"firstOver\"")).count());
    assertEquals("{", lines.get(0));
    assertEquals("  \"schema\": \"cairn-session/1\",", lines.get(1));
    assertEquals("}", lines.get(lines.size() - 1));
  }

  @Test
  void unknownFieldsAreKeptAtEveryLevel() throws IOException {
    ObjectNode root = (ObjectNode) MAPPER.readTree(SessionFile.bytes(Sessions.full()));
    addEverywhere(root);
    SavedSession read = SessionFile.read(with(MAPPER.writeValueAsString(root)));
    JsonNode again = MAPPER.readTree(SessionFile.bytes(read));
    // What moments take changes with them.
    for (JsonNode tree : List.of(root, again)) {
      for (JsonNode pass : tree.get("passes")) {
        assertTrue(((ObjectNode) pass).remove("momentsCheck").isTextual());
      }
    }
    assertEquals(root, again);
    // So they are after a change of something else.
    SavedSession changed = read.withView(read.view().withWhatIf(true)).withTipUsed("plan");
    assertTrue(text(changed).contains("\"later\": {\"x\": [100.5, null, \"é\"]}"));
    assertEquals(
        count(text(read), "\"later\""), count(text(changed), "\"later\""), "unknown fields");
  }

  @Test
  void anUnknownNumberKeepsItsDigits() throws IOException {
    String text = text(Sessions.fresh()).replace("\"folder\"", "\"later\": 1.50e2, \"folder\"");
    assertTrue(text(SessionFile.read(with(text))).contains("\"later\": 1.50e2\n"));
  }

  private static int count(String text, String word) {
    return text.split(word, -1).length - 1;
  }

  /** A field of a later version in every object that may hold one. */
  private static void addEverywhere(JsonNode node) throws IOException {
    for (JsonNode child : node) {
      addEverywhere(child);
    }
    boolean isReference = node.has("file") && node.size() == 2;
    boolean isTempoOrGoal =
        node.has("quarter") || node.has("barOneSeconds") || node.has("targetLufs");
    if (node instanceof ObjectNode object && !isReference && !isTempoOrGoal) {
      object.set("later", MAPPER.readTree("{\"x\": [100.5, null, \"é\"]}"));
    }
  }

  @Test
  void aNewerVersionIsRefusedAndLeftAlone() throws IOException {
    assertEquals(
        "is of version 2, this cairn reads up to 1; update cairn, or name another file with"
            + " --session",
        refusal(UnusableSession.TooNew.class, "{\"schema\": \"cairn-session/2\", \"folder\": 7}"));
  }

  @Test
  void somethingElseIsRefused() throws IOException {
    String end = "); move it away, or name another file with --session";
    assertEquals(
        "is no session of cairn's (its schema is not cairn-session/1" + end,
        refusal(UnusableSession.NotOurs.class, "{\"schema\": \"cairn-list/1\"}"));
    assertEquals(
        "is no session of cairn's (not an object" + end,
        refusal(UnusableSession.NotOurs.class, "[1, 2]"));
    assertTrue(
        refusal(UnusableSession.NotOurs.class, "RIFF....WAVE")
            .startsWith("is no session of cairn's (line 1, column "));
  }

  @Test
  void aFieldThatIsWrongIsNamedWithItsPlace() throws IOException {
    String good = text(Sessions.full());
    record Wrong(String from, String to, String message) {}
    for (Wrong wrong :
        List.of(
            new Wrong(
                "\"frames\": -29",
                "\"frames\": 0.5",
                "is damaged at marks[0].frames: must be a whole number"),
            new Wrong(
                "\"frames\": -29", "\"frames\": 0", "is damaged at marks[0]: frames must not be 0"),
            new Wrong(
                "\"db\": 1.2",
                "\"db\": 1.25",
                "is damaged at marks[1].db: must be dB in whole tenths"),
            new Wrong(
                "\"kind\": \"clip\"",
                "\"kind\": \"fold\"",
                "is damaged at marks[2]: kind must be one of nudge, trim, clip, fine"),
            new Wrong(
                "\"baseline\": \"local\"",
                "\"baseline\": \"high\"",
                "is damaged at settings.baseline: must be one of loud, song, local"),
            new Wrong("\"folder\": \"/desk/parade\",", "", "is damaged at folder: is missing"),
            new Wrong(
                "\"view\": {", "\"view\": [{}], \"x\": {", "is damaged at view: must be an object"),
            new Wrong(
                "\"peakFrame\": 48000,",
                "\"peakFrame\": 1e99,",
                "is damaged at passes[0].peakFrame: must be a whole number"),
            new Wrong(
                "2024-02-10T21:30:00.123Z",
                "yesterday",
                "is damaged at passes[0]: when must be a time such as 2024-02-10T21:30:00Z:"
                    + " yesterday"))) {
      String bad = good.replaceFirst(Pattern.quote(wrong.from()), wrong.to());
      assertTrue(!bad.equals(good), wrong.from());
      assertEquals(wrong.message(), refusal(UnusableSession.Damaged.class, bad));
    }
  }

  @Test
  void aFileCutOffAnywhereIsDamagedAndNeverReadAsASession() throws IOException {
    byte[] whole = SessionFile.bytes(Sessions.full());
    // The last byte is the line's end, without which it is whole.
    for (int length = 0; length < whole.length - 1; length += length < 200 ? 1 : 97) {
      Path cut = Files.write(file(), Arrays.copyOf(whole, length));
      assertThrows(UnusableSession.Damaged.class, () -> SessionFile.read(cut), "at " + length);
    }
    Files.write(file(), new byte[4096]);
    assertThrows(UnusableSession.Damaged.class, () -> SessionFile.read(file()));
  }

  @Test
  void aWriteThatFailsAfterAnyByteLeavesTheOldSessionAlone() throws IOException {
    SavedSession old = Sessions.fresh();
    SessionFile.write(file(), old, List.of());
    byte[] fresh = SessionFile.bytes(Sessions.full());
    for (int length = 0; length < fresh.length; length += 501) {
      int bytes = length;
      assertThrows(
          IOException.class,
          () ->
              WholeFile.write(
                  file(),
                  true,
                  List.of(),
                  out -> {
                    out.write(fresh, 0, bytes);
                    throw new IOException("no more");
                  }));
      assertEquals(old, SessionFile.read(file()));
      assertEquals(List.of(SessionFile.NAME), names());
    }
  }

  @Test
  void aProgramKilledWhileItWritesLeavesTheOldSessionToRead() throws IOException {
    SavedSession old = Sessions.fresh();
    SessionFile.write(file(), old, List.of());
    byte[] fresh = SessionFile.bytes(Sessions.full());
    // At any instant before the rename all that is new lies in the file aside; see WholeFile.
    for (int length = 0; length <= fresh.length; length += 501) {
      Files.write(folder.resolve(".cairn-0123456789abcdef.tmp"), Arrays.copyOf(fresh, length));
      assertEquals(old, SessionFile.read(file()));
    }
    SessionFile.write(file(), Sessions.full(), List.of());
    assertEquals(Sessions.full(), SessionFile.read(file()));
  }

  @Test
  void aStemIsNeverReplaced() throws IOException {
    Path stem = Files.writeString(folder.resolve("bass.wav"), "sound");
    assertThrows(
        WholeFile.NotWritten.class, () -> SessionFile.write(stem, Sessions.fresh(), List.of(stem)));
    assertEquals("sound", Files.readString(stem));
  }

  @Test
  void aFileSetAsideKeepsItsBytesAndTakesNobodysName() throws IOException {
    Files.writeString(folder.resolve(SessionFile.NAME + ".damaged-1"), "earlier");
    with("broken");
    assertEquals(
        folder.resolve(SessionFile.NAME + ".damaged-2"), SessionFile.setAside(file(), "damaged"));
    assertEquals("broken", Files.readString(folder.resolve(SessionFile.NAME + ".damaged-2")));
    assertEquals("earlier", Files.readString(folder.resolve(SessionFile.NAME + ".damaged-1")));
    assertEquals(2, names().size());
  }

  @Test
  void halfASurrogatePairInANoteIsWrittenAsAReplacement() throws IOException {
    SavedSession session =
        Sessions.fresh().withNotes(List.of(new MomentNote(1, "a\uD83Db 🥁 \u0000")));
    SavedSession read = SessionFile.read(with(text(session)));
    assertEquals("a\uFFFDb 🥁 \u0000", read.notes().get(0).text());
  }

  @Test
  void aFieldThatStandsTwiceIsDamage() throws IOException {
    ArrayNode none = MAPPER.createArrayNode();
    String twice =
        text(Sessions.fresh()).replace("\"marks\": []", "\"marks\": [], \"marks\": " + none);
    assertTrue(
        refusal(UnusableSession.Damaged.class, twice).contains("Duplicate field 'marks'"), twice);
  }
}
