package cairn.tui.command;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.io.files.SafeText;
import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.stems.ScanOptions;
import cairn.io.stems.StemFolder;
import cairn.io.stems.StemSet;
import cairn.io.wave.WaveLayout;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

class StemNamesTest {

  @TempDir Path stems;

  private StemSet setOf(String... files) throws IOException {
    for (String file : files) {
      Path path = stems.resolve(file);
      Files.createDirectories(path.getParent());
      try (OutputStream out = Files.newOutputStream(path);
          LinearSoundWriter writer =
              WaveLayout.plain(LinearCoding.PCM_16_LITTLE, 8_000, 1, 1).writeTo(out)) {
        writer.write(new double[][] {{0.5}}, 0, 1);
      }
    }
    return StemFolder.scan(List.of(stems), new ScanOptions(true, ScanOptions.Place.START));
  }

  private static List<String> found(StemSet set, String typed) {
    CommandLine line = new CommandLine(new CommandLineProgram.CairnCommand());
    return new StemNames(() -> line, set.stems())
        .find("--stem", typed).stream().map(k -> set.stems().get(k).name()).toList();
  }

  @Test
  void aNameThatIsOneStemsExactlyMeansThatOneAlone() throws IOException {
    StemSet set = setOf("surdo.wav", "surdo 2.wav", "surdo_.wav", "surdo*.wav", "Surdo.wav");
    assertEquals(List.of("surdo"), found(set, "surdo"));
    assertEquals(List.of("Surdo"), found(set, "Surdo"));
    assertEquals(List.of("surdo*"), found(set, "surdo*"), "a star in a name is no pattern");
    assertEquals(2, found(set, "SURDO").size(), "neither is it exactly");
    assertEquals(
        List.of("surdo 2", "surdo*", "surdo_"),
        found(set, "surdo?*").stream().sorted().toList(),
        "an ending is no part of a name");
  }

  @Test
  void capitalsAreTheSame() throws IOException {
    StemSet set = setOf("Agog\u00F4.wav", "kick.wav");
    assertEquals(List.of("Agog\u00F4"), found(set, "AGOG\u00D4"));
    assertEquals(List.of("Agog\u00F4"), found(set, "a*\u00D4"));
  }

  @Test
  void aPathOrAFolderCanBeNamed() throws IOException {
    StemSet set = setOf("drums/kick.wav", "drums/caixa.wav", "brass/tuba.wav");
    assertEquals(List.of("kick"), found(set, "drums/kick.wav"));
    assertEquals(List.of("caixa", "kick"), found(set, "drums/*").stream().sorted().toList());
    assertEquals(List.of("tuba"), found(set, "TUBA"));
    assertEquals(List.of("tuba"), found(set, "BRASS/tuba.*"));
  }

  @Test
  void aQuestionMarkStandsForOneCharacter() throws IOException {
    StemSet set = setOf("tom 1.wav", "tom 2.wav", "tom 10.wav", "tom \uD83E\uDD41.wav");
    assertEquals(
        List.of("tom 1", "tom 2", "tom \uD83E\uDD41"),
        found(set, "tom ?").stream().sorted().toList());
    assertEquals(List.of("tom \uD83E\uDD41"), found(set, "TOM \uD83E\uDD41"));
  }

  @Test
  void otherSignsOfPatternsAreThemselves() throws IOException {
    StemSet set = setOf("vox [dry] (1).wav", "vox d.wav", "a.b.wav", "axb.wav", "q\\E.wav");
    assertEquals(List.of("vox [dry] (1)"), found(set, "VOX [dry] (1)"));
    assertEquals(List.of("a.b"), found(set, "A.B"));
    assertEquals(List.of(SafeText.of("q\\E")), found(set, "Q\\*"));
  }

  @Test
  void aNameThatIsNotThereIsAnsweredWithTheNearOnes() throws IOException {
    StemSet set = setOf("surdo 1.wav", "surdo 2.wav", "kick.wav");
    StemNames.NoSuchStem near = assertThrows(StemNames.NoSuchStem.class, () -> found(set, "surdo"));
    assertEquals(
        "--stem: no stem is called 'surdo'; the stems are surdo 1, surdo 2", near.getMessage());
  }

  @Test
  void ofManyStemsEightAreNamed() throws IOException {
    String[] files = new String[11];
    for (int i = 0; i < files.length; i++) {
      files[i] = "stem " + (char) ('a' + i) + ".wav";
    }
    StemSet set = setOf(files);
    String message =
        assertThrows(StemNames.NoSuchStem.class, () -> found(set, "nobody")).getMessage();
    assertTrue(message.endsWith("stem h and 3 more"), message);
    assertFalse(message.contains("stem i,") || message.contains("stem i "), message);
  }
}
