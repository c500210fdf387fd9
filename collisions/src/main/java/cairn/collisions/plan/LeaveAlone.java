package cairn.collisions.plan;

import cairn.collisions.Stem;
import java.text.Normalizer;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.regex.Pattern;

/**
 * Guesses from their names which stems an engineer may want to leave alone: voices, which listeners
 * know too well to be nudged. A suggestion, never assumed; definitions.md, 1.
 */
public final class LeaveAlone {

  /** Common practice, no source: names that voices go by, without accents. */
  private static final Set<String> VOICES =
      Set.of(
          // English, with the short forms of track sheets.
          "lead",
          "leads",
          "voice",
          "voices",
          "vox",
          "vocal",
          "vocals",
          "voc",
          "vocs",
          "vx",
          "bgv",
          "bgvs",
          "bvox",
          "bvs",
          "choir",
          "sing",
          "sings",
          "singer",
          "singers",
          "singing",
          "sung",
          "chant",
          "chants",
          "rap",
          "acapella",
          // German, Dutch, Nordic.
          "gesang",
          "stimme",
          "stimmen",
          "chor",
          "zang",
          "koor",
          "sang",
          "kor",
          // French, Spanish, Portuguese, Italian.
          "voix",
          "choeur",
          "choeurs",
          "voz",
          "voces",
          "vozes",
          "coro",
          "coros",
          "voce",
          "voci",
          "canto",
          // Polish, Czech, Turkish.
          "wokal",
          "glos",
          "hlas",
          "vokal");

  private static final Pattern ACCENTS = Pattern.compile("\\p{M}+");
  private static final Pattern CAMEL = Pattern.compile("(?<=\\p{Ll})(?=\\p{Lu})");
  private static final Pattern BETWEEN_WORDS = Pattern.compile("[^\\p{L}]+");

  private LeaveAlone() {}

  /** Indices of the stems whose name holds a word for a voice, upwards. */
  public static List<Integer> suggest(List<Stem> stems) {
    List<Integer> suggested = new ArrayList<>();
    for (int k = 0; k < stems.size(); k++) {
      if (soundsLikeVoice(stems.get(k).name())) {
        suggested.add(k);
      }
    }
    return suggested;
  }

  private static boolean soundsLikeVoice(String name) {
    String spaced = CAMEL.matcher(name).replaceAll(" ");
    String plain =
        ACCENTS
            .matcher(Normalizer.normalize(spaced, Normalizer.Form.NFD))
            .replaceAll("")
            .toLowerCase(Locale.ROOT)
            .replace("œ", "oe")
            .replace("ł", "l");
    return BETWEEN_WORDS.splitAsStream(plain).anyMatch(VOICES::contains);
  }
}
