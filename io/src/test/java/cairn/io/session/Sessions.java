package cairn.io.session;

import cairn.collisions.Fader;
import cairn.collisions.PeakMode;
import cairn.collisions.Settings;
import cairn.collisions.TimeRange;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.FixLimits;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.line.Baseline;
import cairn.collisions.line.Line;
import cairn.collisions.loudness.Goal;
import cairn.collisions.loudness.Metering;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.PeakTrack;
import cairn.collisions.time.TempoMap;
import java.time.Instant;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import java.util.Set;

/** Sessions of a parade band. */
final class Sessions {

  static final StemRef BASS = new StemRef("bass", "bass.wav");
  static final StemRef CAIXA = new StemRef("caixa", "drums/caixa.wav");
  static final StemRef SURDO = new StemRef("surdo low", "drums/surdo low.flac");
  static final List<StemRef> STEMS = List.of(BASS, CAIXA, SURDO);

  static final Mark.OfFix NUDGE = (Mark.OfFix) Mark.of(48_000, new Nudge(0, -40, 49_000, -29));
  static final Mark.OfFix TRIM =
      (Mark.OfFix) Mark.of(96_000, new Trim(0, 95_000, 97_000, 12)).withNote("mind the \"hall\"\n");
  static final Mark.OfFix CLIP = (Mark.OfFix) Mark.of(96_000, new Clip(0, 95_990, 96_011, -106));
  static final Mark.Fine FINE = (Mark.Fine) Mark.fine(144_000).withNote("fica assim, é samba");

  private Sessions() {}

  /** One with nothing decided. */
  static SavedSession fresh() {
    return SavedSession.of(
        ".", 48_000, STEMS, List.of(Fader.UNITY, Fader.UNITY, Fader.UNITY), Preferences.DEFAULT);
  }

  /** One with something in every field. */
  static SavedSession full() {
    TempoMap tempo =
        new TempoMap(
            List.of(new TempoMap.Tempo(0, 104.5), new TempoMap.Tempo(64, 132)),
            List.of(new TempoMap.Meter(0, 2, 4), new TempoMap.Meter(32, 6, 8)),
            0.512);
    return new SavedSession(
        "/desk/parade",
        48_000,
        List.of(
            new SavedStem(BASS, new Fader(-1.5, true, false, true, -24), false),
            new SavedStem(CAIXA, new Fader(0.1, false, true, false, 1_000_000_000_000L), true),
            new SavedStem(SURDO, Fader.UNITY, false)),
        List.of(new Yoke(List.of(CAIXA, SURDO))),
        List.of(new NamedSection("drop 2", new TimeRange(5_472_000, 8_064_000))),
        new SavedSettings(
            new Settings(
                Optional.of(new TimeRange(10, 9_000_000)),
                Optional.of(tempo),
                Baseline.LOCAL,
                Optional.of(new TimeRange(20, 30)),
                new Line.Margin(1.25),
                Metering.STEMS,
                Optional.of(new Goal(-8, -0.3, PeakMode.TRUE_PEAK, 2.5, Goal.Part.SONG)),
                true,
                PeakMode.TRUE_PEAK),
            Optional.of(tempo),
            -3),
        new Preferences(
            OptionalDouble.of(-8),
            -0.3,
            Optional.of(Preferences.CeilingUnit.DBTP),
            2.5,
            new FixLimits(2.5, 15, Double.POSITIVE_INFINITY),
            0.4,
            "bars",
            Unknown.NONE),
        new SavedView(SavedView.Order.STEM, OptionalLong.of(96_000), false, Unknown.NONE),
        List.of(
            SavedMark.of(CAIXA, NUDGE, true),
            SavedMark.of(SURDO, TRIM, false),
            SavedMark.of(BASS, CLIP, false),
            SavedMark.of(FINE, false)),
        List.of(new MomentNote(192_000, "ask the brass")),
        new LinkedHashSet<>(List.of("next", "take")),
        List.of(pass(1), pass(2)),
        Unknown.NONE);
  }

  static SavedPass pass(int number) {
    return new SavedPass(
        number,
        Instant.parse("2024-02-10T21:30:00.123Z"),
        48_000,
        new TimeRange(0, 9_984_000),
        24_000,
        PeakMode.TRUE_PEAK,
        Baseline.LOUD,
        new Line.Level(-1.6),
        List.of(0.1 + 0.2),
        new TimeRange(0, 1_440_000),
        0.976,
        48_000,
        List.of(
            new SavedPass.PassStem(
                BASS,
                2,
                9_984_000,
                0.7,
                OptionalDouble.of(0.3),
                new SavedPass.Stamp(59_904_044, 1_707_600_000_123L),
                Optional.of(SavedPeaks.of(PeakTrack.of(0.7, 0, 0.5))),
                List.of(new TimeRange(40_000, 50_000)),
                Unknown.NONE),
            new SavedPass.PassStem(
                CAIXA,
                1,
                9_983_999,
                0,
                OptionalDouble.empty(),
                SavedPass.Stamp.NONE,
                Optional.empty(),
                List.of(),
                Unknown.NONE)),
        List.of(
            moment(48_000, List.of(1, 0), OptionalDouble.of(Math.nextUp(0.5))),
            moment(96_000, List.of(0), OptionalDouble.empty())),
        number > 1 ? OptionalLong.of(-240) : OptionalLong.empty(),
        Optional.of(SavedPeaks.of(PeakTrack.of(0, 0.976, 1e-5))),
        List.of(),
        Unknown.NONE);
  }

  private static SavedMoment moment(long frame, List<Integer> makingUp, OptionalDouble told) {
    return new SavedMoment(
        frame,
        1,
        0.976,
        0.1 + 0.2,
        0.83,
        frame - 5,
        frame + 7,
        11,
        6,
        false,
        makingUp,
        1,
        2,
        0.375,
        told,
        Unknown.NONE);
  }

  static Set<Mark> noneDone() {
    return Set.of();
  }
}
