package cairn.io.stems;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeFalse;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import cairn.collisions.Session;
import cairn.io.sound.UnusableStem;
import java.io.IOException;
import java.net.URI;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Claims of formats.md, "In", and definitions.md, 1. */
class StemFolderTest {

  private static final int RATE_HZ = 48_000;

  @TempDir Path temp;
  private Path song;

  @BeforeEach
  void makeTheFolder() throws IOException {
    song = Files.createDirectory(temp.toRealPath().resolve("parade"));
  }

  private Path mono(String name) throws IOException {
    return Waves.mono(song.resolve(name), RATE_HZ, 10);
  }

  private Path stereo(String name) throws IOException {
    return Waves.stereo(song.resolve(name), RATE_HZ, 10);
  }

  private StemSet scan() throws IOException {
    return StemFolder.scan(List.of(song), ScanOptions.DEFAULT);
  }

  private static List<String> names(StemSet set) {
    return set.stems().stream().map(StemFile::name).toList();
  }

  private static List<String> texts(StemSet set, Note.Kind kind) {
    return set.notes().stream().filter(n -> n.kind() == kind).map(Note::text).toList();
  }

  private static List<String> skipped(StemSet set) {
    return set.skipped().stream().map(s -> s.shown() + ": " + s.reason()).toList();
  }

  private String refusal(Class<? extends IOException> kind) {
    return refusal(kind, List.of(song), ScanOptions.DEFAULT);
  }

  private static String refusal(
      Class<? extends IOException> kind, List<Path> inputs, ScanOptions options) {
    String message = assertThrows(kind, () -> StemFolder.scan(inputs, options)).getMessage();
    assertFalse(message.contains("\n"), message);
    return message;
  }

  /** Under a plain ASCII locale Java cannot name such files. */
  private static void assumeUnicodeNames() {
    assumeTrue(System.getProperty("sun.jnu.encoding").equals("UTF-8"), "needs file names in UTF-8");
  }

  // What is a stem

  @Test
  void aFolderBecomesItsStemsWithNamesGroupsAndLengths() throws IOException {
    Waves.stereo(song.resolve("drums/01 kick.wav"), RATE_HZ, 20);
    Waves.mono(song.resolve("drums/close/02 caixa.wav"), RATE_HZ, 30);
    Waves.mono(song.resolve("03 surdo.wav"), RATE_HZ, 25);
    StemSet set = scan();
    assertEquals(song, set.folder());
    assertEquals(RATE_HZ, set.sampleRateHz());
    assertEquals(List.of("03 surdo", "01 kick", "02 caixa"), names(set));
    assertEquals(
        List.of(Optional.empty(), Optional.of("drums"), Optional.of("drums")),
        set.stems().stream().map(StemFile::group).toList());
    assertEquals("drums/close/02 caixa.wav", set.stems().get(2).relativePath());
    assertEquals(List.of(song.resolve("drums/01 kick.wav")), set.stems().get(1).paths());
    assertEquals(2, set.stems().get(1).channels());
    Session session = set.toSession();
    assertEquals(30, session.frames());
    assertEquals("01 kick", session.stems().get(1).name());
    assertEquals(1.0, session.factor(1));
    assertEquals(List.of(), set.notes());
    assertEquals(Optional.empty(), set.skippedLine());
  }

  @Test
  void contentCountsNotTheEnding() throws IOException {
    mono("kick");
    mono("caixa.take");
    assertEquals(List.of("caixa", "kick"), names(scan()));
  }

  @Test
  void hiddenFilesTwinsAndLeftoversArePassedOverInSilence() throws IOException {
    mono("kick.wav");
    mono(".old.wav");
    Files.writeString(song.resolve("._kick.wav"), "twin");
    mono("__MACOSX/kick.wav");
    mono(".trash/kick.wav");
    Files.writeString(song.resolve(".hidden"), "x");
    Files.writeString(song.resolve("cairn-session.json"), "{}");
    StemSet set = scan();
    assertEquals(List.of("kick"), names(set));
    assertEquals(List.of(), set.skipped());
  }

  @Test
  void documentsAndCompressedFilesAreSkippedAndListedOnce() throws IOException {
    mono("kick.wav");
    Files.writeString(song.resolve("notes.txt"), "take 3");
    Files.writeString(song.resolve("rough.mp3"), "ID3 and so on");
    Files.writeString(song.resolve("rough.dat"), "OggS and so on");
    Files.writeString(song.resolve("rough.m4a"), "");
    StemSet set = scan();
    assertEquals(
        List.of(
            "notes.txt: not a stem",
            "rough.dat: compressed (Ogg)",
            "rough.m4a: compressed (MPEG-4)",
            "rough.mp3: compressed (MP3)"),
        skipped(set));
    assertEquals(
        Optional.of(
            "skipped: 'notes.txt' (not a stem), 'rough.dat' (compressed (Ogg)), 'rough.m4a'"
                + " (compressed (MPEG-4)), 'rough.mp3' (compressed (MP3))"),
        set.skippedLine());
  }

  @Test
  void aDocumentOrCompressedFileNamedSinglyIsRefused() throws IOException {
    mono("kick.wav");
    Path rough = Files.writeString(song.resolve("rough.mp3"), "ID3 and so on");
    Path notes = Files.writeString(song.resolve("notes.txt"), "take 3");
    assertEquals(
        "'rough.mp3' is a compressed file (MP3); export it as WAVE, AIFF or FLAC",
        refusal(UnusableStem.NotSound.class, List.of(song, rough), ScanOptions.DEFAULT));
    assertEquals(
        "'notes.txt' is not a sound file (it starts with 'take'); export it as WAVE, AIFF or FLAC,"
            + " or leave it out",
        refusal(UnusableStem.NotSound.class, List.of(notes), ScanOptions.DEFAULT));
  }

  @Test
  void aBrokenFileWithASoundEndingIsAnErrorInAFolderToo() throws IOException {
    mono("kick.wav");
    for (String ending :
        List.of("wav", "WAVE", "bwf", "rf64", "bw64", "aif", "aiff", "aifc", "Flac")) {
      Path broken = Files.writeString(song.resolve("03 surdo." + ending), "\u0001\u0002garbage");
      assertEquals(
          "'03 surdo."
              + ending
              + "' is not a sound file (it starts with '01 02 67 61'); export it as WAVE, AIFF or"
              + " FLAC, or leave it out",
          refusal(UnusableStem.NotSound.class));
      Files.write(broken, new byte[0]);
      assertEquals(
          "'03 surdo." + ending + "' is an empty file (0 bytes); export it again or leave it out",
          refusal(UnusableStem.NotSound.class));
      Files.delete(broken);
    }
    Files.writeString(song.resolve("04 low.wav"), "ID3 and so on");
    assertEquals(
        "'04 low.wav' is a compressed file (MP3); export it as WAVE, AIFF or FLAC",
        refusal(UnusableStem.NotSound.class));
  }

  @Test
  void allFilesThatCannotBeUsedAreToldTheFirstOneFirst() throws IOException {
    Files.writeString(song.resolve("b.wav"), "x");
    Waves.write(song.resolve("a.wav"), RATE_HZ, 3, 10, Waves.NO_TIME);
    UnusableStem thrown = assertThrows(UnusableStem.class, () -> scan());
    assertTrue(thrown instanceof UnusableStem.NotReadHere, thrown.getMessage());
    assertTrue(thrown.getMessage().startsWith("'a.wav' "), thrown.getMessage());
    assertEquals(1, thrown.getSuppressed().length);
    assertTrue(thrown.getSuppressed()[0].getMessage().startsWith("'b.wav' "));
  }

  @Test
  void aSilentEndIsNoStem() throws IOException {
    Waves.mono(song.resolve("kick.wav"), RATE_HZ, 0);
    assertEquals(
        "'kick.wav' holds no audio (length 0); export it again or leave it out",
        refusal(UnusableStem.Empty.class));
  }

  @Test
  void whatWasMendedIsToldWithTheFilesName() throws IOException {
    byte[] whole = Waves.bytes(RATE_HZ, 1, 100, Waves.NO_TIME);
    Files.createDirectory(song.resolve("drums"));
    Files.write(song.resolve("drums/kick.wav"), Arrays.copyOf(whole, whole.length - 100));
    StemSet set = scan();
    assertEquals(50, set.stems().get(0).frames());
    List<String> mended = texts(set, Note.Kind.MENDED);
    assertEquals(1, mended.size());
    assertTrue(mended.get(0).startsWith("'drums/kick.wav': "), mended.get(0));
    assertTrue(Note.Kind.MENDED.isWarning());
  }

  @Test
  void noStemsIsOneClearLine() throws IOException {
    assertEquals(
        "'" + song + "' holds no stems; name a folder with WAVE, AIFF or FLAC files",
        refusal(UnusableFolder.NoStems.class));
    Files.writeString(song.resolve("notes.txt"), "x");
    assertEquals(
        "'"
            + song
            + "' holds no stems (1 file skipped); name a folder with WAVE, AIFF or FLAC files",
        refusal(UnusableFolder.NoStems.class));
    Path missing = song.resolve("not\nthere");
    assertEquals(
        "'" + song + "/not\\u{A}there' does not exist; name a folder of stems, or the stems",
        refusal(UnusableFolder.NotThere.class, List.of(missing), ScanOptions.DEFAULT));
  }

  @Test
  void aFolderThatMayNotBeReadIsOneClearLine() throws IOException {
    assumeTrue(FileSystems.getDefault().supportedFileAttributeViews().contains("posix"));
    mono("kick.wav");
    Path closed = Files.createDirectory(song.resolve("drums"));
    Files.setPosixFilePermissions(closed, PosixFilePermissions.fromString("---------"));
    try {
      assumeFalse(Files.isReadable(closed), "root may read everything");
      assertEquals(
          "'" + closed + "' may not be read (no permission); allow it, or leave it out",
          refusal(UnusableFolder.Unreadable.class));
    } finally {
      Files.setPosixFilePermissions(closed, PosixFilePermissions.fromString("rwx------"));
    }
  }

  /** The same line for root, whom nothing keeps out. */
  @Test
  void theLineForAnUnreadableFolderNamesItOnceAndSafely() {
    assertEquals(
        "'drums\\u{7}' may not be read (no permission); allow it, or leave it out",
        new UnusableFolder.Unreadable(
                Path.of("drums\u0007"), new AccessDeniedException("drums\u0007"))
            .getMessage());
  }

  @Test
  void aFileThatMayNotBeReadIsOneClearLine() throws IOException {
    Path kick = mono("kick.wav");
    IOException thrown =
        assertThrows(
            IOException.class,
            () ->
                StemFolder.scan(
                    List.of(song),
                    ScanOptions.DEFAULT,
                    path -> {
                      throw new AccessDeniedException(path.toString());
                    }));
    assertEquals(
        "'kick.wav' may not be read (no permission); allow it, or leave it out",
        thrown.getMessage());
    assertTrue(Files.exists(kick));
  }

  // Several inputs

  @Test
  void filesNamedOneByOneGiveTheSameStemsAsTheirFolder() throws IOException {
    List<Path> files =
        new ArrayList<>(List.of(mono("drums/kick.wav"), mono("vox/lead.wav"), mono("bass.wav")));
    assertEquals(scan(), StemFolder.scan(files, ScanOptions.DEFAULT));
  }

  @Test
  void aFolderAndAFileMayBeNamedTogetherAndTheirCommonFolderCounts() throws IOException {
    Path kick = mono("drums/kick.wav");
    Path lead = mono("vox/lead.wav");
    mono("vox/double.wav");
    StemSet set = StemFolder.scan(List.of(lead, kick.getParent()), ScanOptions.DEFAULT);
    assertEquals(song, set.folder());
    assertEquals(List.of("kick", "lead"), names(set));
    assertEquals(Optional.of("vox"), set.stems().get(1).group());
  }

  @Test
  void aFileGivenTwiceIsOneStem() throws IOException {
    Path kick = mono("drums/kick.wav");
    Path roundabout = song.resolve("drums").resolve("..").resolve("drums").resolve("kick.wav");
    StemSet set =
        StemFolder.scan(
            List.of(kick, song, roundabout, song.resolve("drums")), ScanOptions.DEFAULT);
    assertEquals(List.of("kick"), names(set));
    assertEquals(List.of(kick), set.inputs());
  }

  @Test
  void orderAndNamesDependOnNothingButPaths() throws IOException {
    assumeUnicodeNames();
    String[] places = {"", "a/", "a-b/", "drums/close/", "Ä/", "🥁/"};
    String[] stems = {"kick", "kick L", "kick R", "Kick", "low-L", "low-R", "\uffe0", "鼓"};
    for (long seed = 1; seed <= 5; seed++) {
      Random random = new Random(seed);
      List<String> paths = new ArrayList<>();
      for (String place : places) {
        for (String stem : stems) {
          if (random.nextBoolean()) {
            paths.add(place + stem + (random.nextInt(4) == 0 ? ".aiff" : ".wav"));
          }
        }
      }
      paths.add("sure.wav");
      List<List<String>> seen = new ArrayList<>();
      for (int order = 0; order < 3; order++) {
        Path folder = Files.createDirectory(song.resolve(seed + "." + order));
        Collections.shuffle(paths, random);
        List<Path> files = new ArrayList<>();
        for (String path : paths) {
          files.add(Waves.mono(folder.resolve(path), RATE_HZ, 10));
        }
        StemSet walked = StemFolder.scan(List.of(folder), ScanOptions.DEFAULT);
        Collections.shuffle(files, random);
        files.add(folder);
        StemSet named = StemFolder.scan(files, ScanOptions.DEFAULT);
        assertEquals(walked, named, "seed " + seed);
        List<String> shown = new ArrayList<>();
        walked.stems().forEach(s -> shown.add(s.name() + " = " + s.relativePath()));
        walked.notes().forEach(n -> shown.add(n.text()));
        seen.add(shown);
        assertEquals(
            walked.stems().size(), new HashSet<>(names(walked)).size(), "names, seed " + seed);
      }
      assertEquals(seen.get(0), seen.get(1), "seed " + seed);
      assertEquals(seen.get(0), seen.get(2), "seed " + seed);
    }
  }

  // Order and names

  @Test
  void orderIsByCodePointNotByUtf16Unit() throws IOException {
    assumeUnicodeNames();
    mono("\uffe0.wav"); // full-width cent sign: above the surrogates as a unit, below as a code
    // point
    mono("🥁.wav");
    mono("Z.wav");
    mono("a.wav");
    mono("a b.wav");
    mono("a/z.wav");
    assertEquals(List.of("Z", "a b", "a", "z", "\uffe0", "🥁"), names(scan()));
  }

  @Test
  void equalNamesTakeThePathWithoutTheEnding() throws IOException {
    mono("drums/kick.wav");
    mono("loops/kick.wav");
    mono("loops/Kick.wav");
    mono("snare.wav");
    assertEquals(List.of("drums/kick", "Kick", "loops/kick", "snare"), names(scan()));
  }

  @Test
  void namesThatStayEqualKeepTheEnding() throws IOException {
    mono("kick.wav");
    mono("kick.wave");
    mono("kick.wav.wav");
    assertEquals(List.of("kick.wav", "kick.wav.wav", "kick.wave"), names(scan()));
  }

  @Test
  void hostileNamesAreShownSafelyAndOpenedAsTheyAre() throws IOException {
    mono("a\u001b[31m\n.L.wav");
    mono("a\u001b[31m\n.R.wav");
    mono("back\\slash.wav");
    StemSet set = scan();
    assertEquals(List.of("a\\u{1B}[31m\\u{A}", "back\\\\slash"), names(set));
    try (StemFiles files = set.open()) {
      files.verifyUnchanged();
    }
    for (Note note : set.notes()) {
      assertTrue(note.text().chars().noneMatch(Character::isISOControl), note.text());
    }
    Files.writeString(song.resolve("x\u001b]0;y\u0007.wav"), "no sound");
    assertTrue(refusal(UnusableStem.NotSound.class).startsWith("'x\\u{1B}]0;y\\u{7}.wav' "));
  }

  @Test
  void namesThatAreNoTextStayApartAndCanBeOpened() throws IOException {
    assumeTrue(Files.isDirectory(Path.of("/proc/self")), "needs a system where names are bytes");
    Path first = mono("a.wav");
    Files.move(first, rawName("\\377 L.wav"));
    mono("b.wav");
    Files.move(song.resolve("b.wav"), rawName("\\376 L.wav"));
    mono("c.wav");
    Files.move(song.resolve("c.wav"), rawName("\\376 R.wav"));
    StemSet set = scan();
    assertEquals(2, set.stems().size());
    assertEquals(2, set.stems().get(0).channels(), "the bytes 376 go together");
    assertEquals(1, set.stems().get(1).channels(), "377 has no right side");
    assertEquals(2, new HashSet<>(names(set)).size());
    try (StemFiles files = set.open()) {
      files.verifyUnchanged();
    }
  }

  /** A path whose name holds raw bytes, by way of a URI. */
  private Path rawName(String octal) {
    StringBuilder uri = new StringBuilder(song.toUri().toString());
    if (!uri.toString().endsWith("/")) {
      uri.append('/');
    }
    String name = octal.replace("\\377", "%FF").replace("\\376", "%FE").replace(" ", "%20");
    return Path.of(URI.create(uri + name));
  }

  // Pairs

  @Test
  void twoMonoFilesNamedLAndRAreOneStemInTheLeftOnesPlace() throws IOException {
    for (String separator : List.of(".", "_", "-", " ")) {
      mono("bells" + separator + "L.wav");
      mono("bells" + separator + "R.wav");
      mono("bells" + separator + "M.wav");
      StemSet set = scan();
      assertEquals(List.of("bells", "bells" + separator + "M"), names(set));
      StemFile bells = set.stems().get(0);
      assertEquals(2, bells.channels());
      assertEquals(10, bells.frames());
      assertEquals(
          List.of(
              song.resolve("bells" + separator + "L.wav"),
              song.resolve("bells" + separator + "R.wav")),
          bells.paths());
      assertEquals(
          List.of(
              "taken as two-channel stems: 'bells"
                  + separator
                  + "L.wav' with 'bells"
                  + separator
                  + "R.wav'; undo with --no-pairs"),
          texts(set, Note.Kind.PAIRED));
      for (Path path : set.inputs()) {
        Files.delete(path);
      }
    }
  }

  @Test
  void thePairingIsSaidOnceForAllPairs() throws IOException {
    for (String name : List.of("a L", "a R", "x/b-L", "x/b-R")) {
      mono(name + ".wav");
    }
    StemSet set = scan();
    assertEquals(List.of("a", "b"), names(set));
    assertEquals(
        List.of(
            "taken as two-channel stems: 'a L.wav' with 'a R.wav', 'x/b-L.wav' with 'x/b-R.wav';"
                + " undo with --no-pairs"),
        set.notes().stream().map(Note::text).toList());
  }

  @Test
  void withoutPairsTheyStayApart() throws IOException {
    mono("a L.wav");
    mono("a R.wav");
    StemSet set = StemFolder.scan(List.of(song), ScanOptions.DEFAULT.withPairs(false));
    assertEquals(List.of("a L", "a R"), names(set));
    assertEquals(List.of(), set.notes());
  }

  @Test
  void namesThatDifferInMoreThanALastLAndRAreNoPair() throws IOException {
    for (String name :
        List.of(
            "a L.wav",
            "a-R.wav",
            "b L.wav",
            "B R.wav",
            "cL.wav",
            "cR.wav",
            "d l.wav",
            "d r.wav",
            "x/e L.wav",
            "y/e R.wav",
            "L.wav",
            "R.wav",
            "f L 1.wav",
            "f R 1.wav",
            "g Left.wav",
            "g Right.wav")) {
      mono(name);
    }
    StemSet set = scan();
    assertEquals(16, set.stems().size());
    assertEquals(List.of(), set.notes());
  }

  @Test
  void stereoFilesAreNoPair() throws IOException {
    stereo("guitar L.wav");
    stereo("guitar R.wav");
    mono("a L.wav");
    stereo("a R.wav");
    StemSet set = scan();
    assertEquals(4, set.stems().size());
    assertEquals(List.of(), set.notes());
  }

  @Test
  void sidesThatDoNotFitStayTwoStemsAndThatIsSaid() throws IOException {
    mono("a L.wav");
    Waves.mono(song.resolve("a R.wav"), RATE_HZ, 11);
    mono("b L.wav");
    mono("b R.wave");
    Waves.write(song.resolve("c L.wav"), RATE_HZ, 1, 10, 5);
    Waves.write(song.resolve("c R.wav"), RATE_HZ, 1, 10, 6);
    mono("d L.wav");
    byte[] wide = Waves.bytes(RATE_HZ, 1, 20, Waves.NO_TIME); // 20 of 16 bit, 10 of 32
    wide[32] = 4;
    wide[34] = 32;
    Files.write(song.resolve("d R.wav"), wide);
    StemSet set = scan();
    assertEquals(8, set.stems().size());
    assertEquals(
        List.of(
            "'a L.wav' and 'a R.wav' stay two mono stems: their lengths differ (10 and 11"
                + " samples); export them alike to have one two-channel stem",
            "'c L.wav' and 'c R.wav' stay two mono stems: their time references differ (5 and 6);"
                + " export them alike to have one two-channel stem",
            "'d L.wav' and 'd R.wav' stay two mono stems: their codings differ (WAVE PCM 16 and"
                + " WAVE PCM 32); export them alike to have one two-channel stem",
            "'b L.wav' and 'b R.wave' stay two mono stems: their endings differ; export them alike"
                + " to have one two-channel stem"),
        texts(set, Note.Kind.NOT_PAIRED));
    assertEquals(List.of(), texts(set, Note.Kind.PAIRED));
  }

  @Test
  void aPairThatIsNamedLikeAnotherStemTakesItsPath() throws IOException {
    mono("bells L.wav");
    mono("bells R.wav");
    mono("bells.wav");
    assertEquals(List.of("bells L", "bells"), names(scan()));
  }

  // Rates

  @Test
  void aRateThatDiffersIsToldAgainstAllOthers() throws IOException {
    for (int i = 10; i < 21; i++) {
      mono(i + " caixa.wav");
    }
    Waves.mono(song.resolve("03 surdo.wav"), 44_100, 10);
    assertEquals(
        "'03 surdo.wav' has 44100 Hz, the other 11 stems 48000 Hz; export it again at 48000 Hz",
        refusal(UnusableFolder.RatesDiffer.class));
  }

  @Test
  void everyStemThatDiffersIsNamed() throws IOException {
    mono("a.wav");
    mono("b.wav");
    mono("c.wav");
    Waves.mono(song.resolve("x/d.wav"), 44_100, 10);
    Waves.mono(song.resolve("e.wav"), 96_000, 10);
    Waves.mono(song.resolve("f.wav"), 44_100, 10);
    assertEquals(
        "'e.wav' has 96000 Hz, 'f.wav' and 'x/d.wav' have 44100 Hz, the other 3 stems 48000 Hz;"
            + " export them again at 48000 Hz",
        refusal(UnusableFolder.RatesDiffer.class));
  }

  @Test
  void ofTwoRatesTheFirstOneCounts() throws IOException {
    mono("a.wav");
    Waves.mono(song.resolve("b.wav"), 44_100, 10);
    assertEquals(
        "'b.wav' has 44100 Hz, the other stem 48000 Hz; export it again at 48000 Hz",
        refusal(UnusableFolder.RatesDiffer.class));
  }

  // Time references

  @Test
  void differingTimeReferencesAreWarnedOfAndNotFollowed() throws IOException {
    Waves.write(song.resolve("a.wav"), RATE_HZ, 1, 10, 172_800_000);
    Waves.write(song.resolve("b.wav"), RATE_HZ, 1, 10, 172_848_000);
    mono("c.wav");
    StemSet set = scan();
    assertEquals(
        List.of(
            new Note(
                Note.Kind.TIME_REFERENCES_DIFFER,
                "time references differ: 'b' 48000 samples (1.000 s) after 'a'; all start together"
                    + " here; use --place timeref to put the stems there")),
        set.notes());
    assertTrue(Note.Kind.TIME_REFERENCES_DIFFER.isWarning());
    assertEquals(List.of(0L, 0L, 0L), set.stems().stream().map(StemFile::offset).toList());
    assertEquals(10, set.toSession().frames());
  }

  @Test
  void equalTimeReferencesAreNotWorthAWord() throws IOException {
    Waves.write(song.resolve("a.wav"), RATE_HZ, 1, 10, 172_800_000);
    Waves.write(song.resolve("b.wav"), RATE_HZ, 1, 10, 172_800_000);
    mono("c.wav");
    assertEquals(List.of(), scan().notes());
  }

  @Test
  void placedStemsStartAtTheirTimeReferenceLessTheEarliest() throws IOException {
    Waves.write(song.resolve("a.wav"), RATE_HZ, 1, 10, 172_800_000);
    Waves.write(song.resolve("b.wav"), RATE_HZ, 1, 10, 172_848_000);
    mono("c.wav");
    StemSet set =
        StemFolder.scan(List.of(song), ScanOptions.DEFAULT.withPlace(ScanOptions.Place.TIMEREF));
    assertEquals(List.of(0L, 48_000L, 0L), set.stems().stream().map(StemFile::offset).toList());
    assertEquals(48_000, set.toSession().faders().get(1).offset());
    assertEquals(48_010, set.toSession().frames());
    assertEquals(
        List.of("put at their time references: 'b' 48000 samples (1.000 s) after 'a'"),
        texts(set, Note.Kind.PLACED));
    assertEquals(
        List.of("without a time reference, left at 0: 'c'"),
        texts(set, Note.Kind.NO_TIME_REFERENCE));
  }

  @Test
  void timeReferencesMoreThanADayApartAreRefused() throws IOException {
    Waves.write(song.resolve("a.wav"), RATE_HZ, 1, 10, 0);
    Waves.write(song.resolve("b.wav"), RATE_HZ, 1, 10, 48_000L * 90_000);
    assertEquals(
        "'b' has a time reference 25.0 hours after that of 'a'; a song is shorter: leave out"
            + " --place timeref, or export it again",
        refusal(
            UnusableFolder.FarApart.class,
            List.of(song),
            ScanOptions.DEFAULT.withPlace(ScanOptions.Place.TIMEREF)));
  }
}
