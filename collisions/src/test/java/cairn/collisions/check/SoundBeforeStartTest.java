package cairn.collisions.check;

import static org.junit.jupiter.api.Assertions.assertEquals;

import cairn.collisions.ArrayStems;
import cairn.collisions.Fader;
import cairn.collisions.Session;
import cairn.collisions.Yokes;
import java.io.IOException;
import java.util.List;
import org.junit.jupiter.api.Test;

class SoundBeforeStartTest {

  private static final int RATE = 8_000;

  /** A stem with its first sound at each of some frames, on one channel, after hiss at -80 dBFS. */
  private static ArrayStems soundFrom(int... frames) {
    ArrayStems stems = new ArrayStems(RATE);
    for (int first : frames) {
      double[][] x = new double[2][100_000];
      for (int n = 0; n < x[0].length; n++) {
        x[0][n] = n % 2 == 0 ? 1e-4 : -1e-4;
        x[1][n] = n == first ? -0.25 : 0;
      }
      stems.stem("stem " + first, x);
    }
    return stems.mono("whistle", 0, 0.5);
  }

  private static List<SoundBeforeStart> lost(ArrayStems stems, Fader... faders) throws IOException {
    return SoundBeforeStart.of(session(stems, faders), stems);
  }

  private static Session session(ArrayStems stems, Fader... faders) {
    return new Session(RATE, 0, stems.session().stems(), List.of(faders), Yokes.NONE);
  }

  private static Fader earlier(long frames) {
    return Fader.UNITY.withOffset(-frames);
  }

  @Test
  void aStemMayGoEarlierByTheSilenceItBeginsWith() throws IOException {
    ArrayStems stems = soundFrom(80, 70_000);
    assertEquals(List.of(), lost(stems, earlier(80), earlier(70_000), Fader.UNITY));
    assertEquals(
        List.of(new SoundBeforeStart(0, 81, 80), new SoundBeforeStart(1, 70_001, 70_000)),
        lost(stems, earlier(81), earlier(70_001), Fader.UNITY));
  }

  @Test
  void aMonoStemIsReadOnItsOwnChannel() throws IOException {
    ArrayStems stems = soundFrom(0);
    // One frame of silence, then the sound; all of it goes with more than its length.
    assertEquals(List.of(), lost(stems, Fader.UNITY, earlier(1)));
    assertEquals(List.of(new SoundBeforeStart(1, 9, 1)), lost(stems, Fader.UNITY, earlier(9)));
  }

  @Test
  void mutedAndLaterStemsLoseNothing() throws IOException {
    ArrayStems stems = soundFrom(80);
    assertEquals(List.of(), lost(stems, earlier(800).withMuted(true), Fader.UNITY.withOffset(5)));
  }

  @Test
  void whatIsLostIsSaidInMilliseconds() throws IOException {
    ArrayStems stems = soundFrom(80);
    Session session = session(stems, earlier(120), Fader.UNITY);
    assertEquals(
        "'stem 80' is set 15.00 ms earlier: 5.00 ms of its sound lie before the start of the song"
            + " and are lost; 10.00 ms earlier loses none",
        SoundBeforeStart.of(session, stems).get(0).words(session));
    ArrayStems atOnce = soundFrom(0);
    session = session(atOnce, earlier(8), Fader.UNITY);
    assertEquals(
        "'stem 0' is set 1.00 ms earlier: 1.00 ms of its sound lie before the start of the song and"
            + " are lost; it has no silence to spare",
        SoundBeforeStart.of(session, atOnce).get(0).words(session));
  }
}
