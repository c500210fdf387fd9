package cairn.tui.update;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Decibels;
import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.PeakMode;
import cairn.collisions.Yokes;
import cairn.collisions.check.Finding;
import cairn.collisions.check.Weight;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.line.Line;
import cairn.collisions.loudness.Goal;
import cairn.collisions.plan.Advice;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.OpenMoment;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.PlannedFix;
import cairn.collisions.plan.StemMove;
import cairn.collisions.spectrum.ThirdOctaves;
import cairn.tui.model.Bands;
import cairn.tui.model.Deeds;
import cairn.tui.model.Effect;
import cairn.tui.model.Event;
import cairn.tui.model.Kept;
import cairn.tui.model.PlanSteps;
import cairn.tui.model.Screen;
import cairn.tui.model.StemSettings;
import cairn.tui.model.TextField;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import org.junit.jupiter.api.Test;

/** Key scripts on the screens beside the walk. */
class ScreensTest {

  private static long count(WalkScript walk, Class<? extends Effect> kind) {
    return walk.effects.stream().filter(kind::isInstance).count();
  }

  @Test
  void aPlanIsMadeOnceAndItsRowsAreTakenInAllTheirPlaces() {
    WalkScript walk = WalkScript.open().press("P");
    List<PlannedFix> fixes = walk.model.plan().orElseThrow().fixes();
    assertEquals(2, fixes.size());
    assertEquals(3, fixes.get(0).marks().size());

    walk.press("Enter");
    assertEquals(3, walk.marks().size());
    assertEquals(Set.of(0), walk.model.planTaken());
    assertTrue(walk.said().endsWith("taken in its 3 places; u undoes it"), walk.said());

    walk.press("Space Enter W P");
    assertEquals(Set.of(0, 1), walk.model.planTaken());
    assertEquals(1, count(walk, Effect.MakePlan.class));
    walk.press("Space");
    assertEquals("every row of the plan is decided; E exports, q goes back", walk.said());
  }

  @Test
  void takingAllOfThePlanLeavesWhatWasDropped() {
    WalkScript walk = WalkScript.open().press("P x a");
    assertEquals(Set.of(1), walk.model.planTaken());
    assertEquals(Set.of(0), walk.model.planDropped());
    assertEquals("1 fix taken; E exports, u undoes it", walk.said());

    walk.press("x x a");
    assertEquals("no row of the plan is left to take; E exports", walk.said());
  }

  @Test
  void undoGivesATakenRowBack() {
    WalkScript walk = WalkScript.open().press("P a u");

    assertEquals(Set.of(), walk.model.planTaken());
    assertEquals(List.of(), walk.marks());
    walk.press("r");
    assertEquals(Set.of(0, 1), walk.model.planTaken());
    assertEquals(1, count(walk, Effect.MakePlan.class));
  }

  @Test
  void aRowIsTakenWithAnotherAmount() {
    WalkScript walk = WalkScript.open().press("P");
    int planned = nudge(walk.model.plan().orElseThrow().fixes().get(0).marks().get(0));

    walk.press("l l");

    assertEquals(Set.of(0), walk.model.planTaken());
    assertEquals(3, walk.marks().size());
    for (Mark mark : walk.marks()) {
      assertEquals(planned + 2, nudge(mark));
    }
    walk.press("-");
    assertTrue(walk.said().startsWith("this row is a nudge: h and l move it"), walk.said());
    walk.press("Space - Backspace");
    assertEquals(1, walk.marks().stream().filter(m -> fix(m) instanceof Trim).count());
    assertEquals(1, count(walk, Effect.MakePlan.class));
  }

  private static Object fix(Mark mark) {
    return ((Mark.OfFix) mark).fix();
  }

  private static int nudge(Mark mark) {
    return ((Nudge) fix(mark)).frames();
  }

  @Test
  void aPlanIsMadeAnewWhenOtherMarksHaveChanged() {
    WalkScript walk = WalkScript.open().press("P W - P");
    assertEquals(2, count(walk, Effect.MakePlan.class));

    walk.press("u");
    assertEquals(3, count(walk, Effect.MakePlan.class));
    assertTrue(walk.model.plan().isPresent());
  }

  @Test
  void theWalkStandsWhereThePlanDoes() {
    WalkScript walk = WalkScript.open().press("P j");
    assertEquals(28_300, walk.row().head().peakFrame());

    walk.press("W");
    assertEquals(Screen.WALK, walk.model.screen());
    assertEquals(28_300, walk.row().head().peakFrame());
  }

  private static PlanRow planRow(WalkScript walk) {
    return PlanRow.of(walk.model).get(walk.model.selectedOn(Screen.PLAN));
  }

  @Test
  void anotherFixIsShownInTheRowAndTakenInPlaceOfThePlannedOne() {
    WalkScript walk = WalkScript.open().press("P");
    PlannedFix planned = walk.model.plan().orElseThrow().fixes().get(0);
    int seen = 1;
    walk.press("v");
    while (planRow(walk).other().isPresent()) {
      Advice other = planRow(walk).other().get();
      seen++;
      assertTrue(other.stem() != planned.stem() || other.kind() != planned.fix().kind());
      assertTrue(walk.said().startsWith(seen + " of "), walk.said());
      assertEquals(Screen.PLAN, walk.model.screen());
      assertEquals(List.of(), walk.marks());
      walk.press("v");
    }
    // Round to the plan's own.
    assertTrue(walk.said().matches("1 of " + seen + ": .*, as planned; Enter takes it"));
    assertTrue(seen > 1);

    walk.press("v");
    Advice other = planRow(walk).other().orElseThrow();
    walk.press("Enter");
    assertEquals(List.copyOf(other.marks()), List.copyOf(walk.model.deeds().marks().fixes()));
    assertEquals(Set.of(0), walk.model.planTaken());
    assertEquals(1, count(walk, Effect.MakePlan.class));
    walk.press("v");
    assertEquals("that row is taken; x drops it, then v shows other fixes", walk.said());

    // What it comes to is summed, and is what the bus says.
    PlanSteps steps = walk.model.planSteps().orElseThrow();
    assertEquals(walk.model.busNow().orElseThrow().peak(), steps.peaks().get(0));
    walk.press("x");
    assertEquals(List.of(), walk.marks());
  }

  @Test
  void whatWasTakenBeforeStandsAboveThePlan() {
    WalkScript walk = WalkScript.open().press("Enter P");
    int taken = walk.marks().size();
    List<PlanRow> rows = PlanRow.of(walk.model);
    assertTrue(rows.get(0).isBefore());
    assertEquals(walk.model.deeds().marks().fixes(), rows.get(0).marks());
    assertEquals(walk.model.plan().orElseThrow().fixes().size() + 1, rows.size());
    // The first row to decide is selected.
    assertEquals(1, walk.model.selectedOn(Screen.PLAN));
    PlanSteps steps = walk.model.planSteps().orElseThrow();
    assertEquals(walk.model.busNow().orElseThrow().peak(), steps.peaks().get(0));
    assertEquals(
        walk.model.plan().orElseThrow().peakAfter(), steps.peaks().get(steps.peaks().size() - 1));

    walk.press("k Enter");
    assertEquals("that row is taken already; x drops it", walk.said());
    walk.press("h");
    assertTrue(walk.said().startsWith("it was taken before this plan"), walk.said());
    assertEquals(taken, walk.marks().size());
    walk.press("x");
    assertEquals(List.of(), walk.marks());
    assertEquals(2, count(walk, Effect.MakePlan.class));
    assertFalse(PlanRow.of(walk.model).get(0).isBefore());
  }

  @Test
  void aPlaceThatIsTypedTakesThePlaceOfTheProposedName() {
    WalkScript walk = WalkScript.open().press("Enter E Enter");
    assertEquals("cairn-cues.csv", walk.model.field().orElseThrow().text());
    walk.type("/").type("x");
    assertEquals("/x", walk.model.field().orElseThrow().text());
    walk.press("Escape Enter Backspace").type("/");
    assertEquals("cairn-cues.cs/", walk.model.field().orElseThrow().text());
  }

  @Test
  void aRowIsGivenAnExactAmount() {
    WalkScript walk = WalkScript.open().press("P e").type("3 samples later").press("Enter");
    assertEquals(3, walk.marks().size());
    walk.marks().forEach(mark -> assertEquals(3, nudge(mark)));
    walk.press("e").type("-1.5 dB").press("Enter");
    assertTrue(walk.said().startsWith("this row is a nudge"), walk.said());
    walk.press("Space e").type("-2.5 dB").press("Enter");
    assertEquals(25, ((Trim) fix(walk.marks().get(3))).tenthsDb());
    // Neither the peaks nor the tone of the plan stand in for those of the new amounts.
    PlanSteps steps = walk.model.planSteps().orElseThrow();
    assertEquals(walk.model.busNow().orElseThrow().peak(), steps.peaks().get(1));
    walk.press("x");
    assertEquals(3, walk.marks().size());
    walk.press("e").type("0.0 dB").press("Enter");
    assertTrue(walk.said().contains("x drops the row"), walk.said());
  }

  private static void back(WalkScript walk, String key) {
    walk.press(key);
    assertEquals(Screen.WALK, walk.model.screen());
    assertEquals(0, count(walk, Effect.Leave.class));
  }

  @Test
  void qAndEscGoBackToTheWalkHoweverManyScreensWereSeen() {
    WalkScript walk = WalkScript.open();
    for (String key : List.of("q", "Escape")) {
      for (String last : List.of("S", "L", "P", "M", "F", "E", "C")) {
        walk.press("S L P M F E C " + last);
        back(walk, key);
      }
    }
    // The help is about a screen: one step more.
    walk.press("L S ? Escape");
    assertEquals(Screen.STEMS, walk.model.screen());
    back(walk, "q");
    walk.press("q");
    assertEquals(1, count(walk, Effect.Leave.class));
  }

  @Test
  void whatThePlanDoesNotClearIsARowToo() {
    WalkScript walk = WalkScript.open().press("P j j j j");
    assertEquals(2, walk.model.selectedOn(Screen.PLAN));
    assertEquals(OpenMoment.Why.LONG, PlanRow.selectedOpen(walk.model).orElseThrow().why());
    assertEquals(33_000, walk.row().head().peakFrame());

    Deeds deeds = walk.model.deeds();
    for (String key : "x h l - + , .".split(" ", -1)) {
      walk.press(key);
      assertEquals(deeds, walk.model.deeds(), key);
      assertFalse(walk.said().isEmpty(), key);
    }
    walk.press("h");
    assertEquals(
        "the plan has no fix for it; Enter shows it on the walk, f calls it fine", walk.said());
    walk.press("Space");
    assertEquals(0, walk.model.selectedOn(Screen.PLAN));
    walk.press("End Backspace");
    assertEquals(1, walk.model.selectedOn(Screen.PLAN));
    walk.press("End Enter");
    assertEquals(Screen.WALK, walk.model.screen());
    assertEquals(33_000, walk.row().head().peakFrame());
  }

  @Test
  void aRowThatIsFineIsFreedInThePlan() {
    for (String free : List.of("x", "f")) {
      WalkScript walk = WalkScript.open().press("P End f");
      assertEquals("fine as it is, left to the limiter; u undoes it", walk.said());
      // The choir is long: nothing else is planned in its place.
      walk.press("End");
      assertEquals(OpenMoment.Why.FINE, PlanRow.selectedOpen(walk.model).orElseThrow().why());
      walk.press("v");
      assertEquals(Screen.PLAN, walk.model.screen());
      assertTrue(walk.said().contains("f frees it"), walk.said());

      walk.press(free);
      assertEquals("not fine any more: to decide again; u undoes it", walk.said());
      assertEquals(List.of(), walk.marks());
      assertEquals(OpenMoment.Why.LONG, walk.model.plan().orElseThrow().open().get(0).why());
    }
  }

  @Test
  void aRowOfThePlanIsCalledFineInItsPlaces() {
    WalkScript walk = WalkScript.open().press("P f");
    assertEquals("fine as it is in all 3 places, left to the limiter; u undoes it", walk.said());
    Plan plan = walk.model.plan().orElseThrow();
    assertEquals(1, plan.fixes().size());
    assertEquals(3, plan.open().stream().filter(open -> open.why() == OpenMoment.Why.FINE).count());
  }

  @Test
  void vOnAMomentThatIsLeftShowsOtherFixesOnTheWalk() {
    WalkScript walk = WalkScript.open().press("P End v");
    assertEquals(Screen.WALK, walk.model.screen());
    assertEquals(33_000, walk.row().head().peakFrame());
    assertFalse(walk.said().isEmpty());
  }

  @Test
  void theStemsAreNarrowedToThoseWhoseNameHoldsAText() {
    // bed, caixa, surdo, claps, choir
    WalkScript walk = WalkScript.open().press("S /").type("C").press("Enter");
    assertEquals("3 stems with 'C'; /, then Enter, shows all again", walk.said());
    assertEquals(
        List.of(ArraySong.CAIXA, ArraySong.CLAPS, ArraySong.CHOIR),
        RowCounts.shownStems(walk.model));
    assertEquals(ArraySong.CAIXA, walk.model.selectedOn(Screen.STEMS));
    walk.press("j m");
    assertTrue(walk.model.faders().get(ArraySong.CLAPS).muted());
    walk.press("End Page-Down");
    assertEquals(ArraySong.CHOIR, walk.model.selectedOn(Screen.STEMS));
    walk.press("k k k");
    assertEquals(ArraySong.CAIXA, walk.model.selectedOn(Screen.STEMS));

    walk.press("/").type("zz").press("Enter");
    assertEquals("no stem has 'zz' in its name", walk.said());
    assertEquals(3, RowCounts.shownStems(walk.model).size());
    walk.press("/ Enter");
    assertEquals(5, RowCounts.shownStems(walk.model).size());
    walk.press("/").type("bed").press("Enter q S");
    assertEquals(5, RowCounts.shownStems(walk.model).size());
    assertEquals(ArraySong.BED, walk.model.selectedOn(Screen.STEMS));
  }

  @Test
  void uTakesBackWhatWasCollectedOnTheFaders() {
    WalkScript walk = WalkScript.open().press("S j");
    List<Fader> summed = walk.model.faders();
    walk.press("- - m l");
    assertTrue(walk.model.isToSumAgain());

    walk.press("u");
    assertTrue(walk.said().startsWith("undone: caixa at -0.2 dB, "), walk.said());
    assertTrue(walk.said().endsWith("muted; Enter sums again; r does it again"), walk.said());
    assertEquals(
        Fader.UNITY.withGainDb(-0.2).withMuted(true), walk.model.faders().get(ArraySong.CAIXA));
    walk.press("u u u");
    assertEquals(summed, walk.model.faders());
    assertFalse(walk.model.isToSumAgain());
    assertEquals("undone: caixa at -0.1 dB; r does it again", walk.said());

    walk.press("r r");
    assertEquals(Fader.UNITY.withGainDb(-0.2), walk.model.faders().get(ArraySong.CAIXA));
  }

  @Test
  void fadersAndMarksAreUndoneInTheirOrderAndPastASum() {
    WalkScript walk = WalkScript.open();
    List<Fader> atFirst = walk.model.faders();
    walk.press("S j m W End Home j Enter S Enter");
    assertFalse(walk.model.isToSumAgain());

    walk.press("W u");
    assertEquals(List.of(), walk.marks());
    walk.press("u");
    assertEquals(atFirst, walk.model.faders());
    assertTrue(walk.model.isToSumAgain());
    assertTrue(walk.said().contains("; S, then Enter, sums again"), walk.said());
    walk.press("S Enter");
    assertEquals(atFirst, walk.model.song().orElseThrow().pass().session().faders());
  }

  @Test
  void fadersThatAreCollectedStayWhileAnotherLineIsDrawn() {
    WalkScript walk = WalkScript.open().press("S j m L - Enter");
    assertEquals(1, count(walk, Effect.Analyse.class));
    assertTrue(walk.model.isToSumAgain());
    assertTrue(walk.model.faders().get(ArraySong.CAIXA).muted());
  }

  @Test
  void fadersAreCollectedAndSummedOnEnter() {
    WalkScript walk = WalkScript.open().press("S j m j p - - j . . l h l");

    assertEquals(0, count(walk, Effect.Analyse.class));
    assertEquals(Fader.UNITY.withMuted(true), walk.model.faders().get(ArraySong.CAIXA));
    assertEquals(
        Fader.UNITY.withReversed(true).withGainDb(-0.2), walk.model.faders().get(ArraySong.SURDO));
    // A step of 1 ms at 8 kHz.
    assertEquals(Fader.UNITY.withOffset(8), walk.model.faders().get(ArraySong.CLAPS));

    walk.press("Enter");
    assertEquals(1, count(walk, Effect.Analyse.class));
    assertEquals(walk.model.faders(), walk.model.song().orElseThrow().pass().session().faders());
    // Without the caixa the strokes are not over.
    assertEquals("!!", walk.states());
    assertTrue(count(walk, Effect.Save.class) > 0);
  }

  @Test
  void enterOnAStemShowsItsMoments() {
    WalkScript walk = WalkScript.open().press("S j Enter");

    assertEquals(Screen.WALK, walk.model.screen());
    assertEquals(1, walk.model.rows().size());
    assertEquals("moments of caixa; Esc shows all", walk.said());
    walk.press("S /").type("choir").press("Enter");
    assertEquals(ArraySong.CHOIR, walk.model.selectedRow());
  }

  @Test
  void theLineIsTriedAndDrawnOnEnter() {
    WalkScript walk = WalkScript.open().press("L . . + ");
    assertEquals(Optional.of(new Line.Level(-5.5)), walk.model.lineDraft());
    // 10^(−5.5/20) = 0.531: the strokes of 0.6 are over it, the clap of 0.52 is not.
    assertEquals(OptionalInt.of(3), walk.model.counted());
    assertEquals("line -5.5: 3 moments; Enter draws it", walk.said());
    assertEquals("!!!", walk.states());

    walk.press("Enter");
    assertEquals("!", walk.states());
    assertEquals(Optional.empty(), walk.model.lineDraft());

    walk.press("e").type("-7 dBFS").press("Enter Enter");
    assertEquals(new Line.Level(-7), walk.model.song().orElseThrow().pass().line().line());
    walk.press("e").type("+1.5 dB").press("Enter");
    assertEquals(Optional.of(new Line.Margin(1.5)), walk.model.lineDraft());
  }

  private static Pass pass(WalkScript walk) {
    return walk.model.song().orElseThrow().pass();
  }

  @Test
  void aGoalIsSetOnTheLadderAndTheLineFollows() {
    WalkScript walk = WalkScript.open().press("Enter L e").type("0 limiter 0").press("Enter");

    // definitions.md, 6: ceiling + allowance − γ, with a ceiling of −1 and an allowance of 0.
    double measured = pass(walk).limiter().orElseThrow().measuredLufs();
    double lineDb = -1 + 0 - (0 - measured);
    assertEquals(lineDb, Decibels.ofAmplitude(pass(walk).line().level(0)), 1e-9);
    assertEquals(3, walk.marks().size());
    assertTrue(walk.said().startsWith("goal 0.0: 3 moments over the line at -5."), walk.said());

    walk.press("e").type("-20 limiter 3").press("Enter");
    assertTrue(walk.said().startsWith("goal -20.0, 15.8 dB less than now: 0 moments"), walk.said());
    Kept kept =
        walk.effects.stream()
            .filter(Effect.Save.class::isInstance)
            .map(effect -> ((Effect.Save) effect).state())
            .reduce((a, b) -> b)
            .orElseThrow();
    assertEquals(-20, kept.settings().goal().orElseThrow().targetLufs());
    assertTrue(kept.settings().goalDrawsLine());

    walk.press("e").type("ceiling -2 dBTP limiter 4,5").press("Enter");
    assertEquals(
        new Goal(-20, -2, PeakMode.TRUE_PEAK, 4.5, Goal.Part.LOUD),
        pass(walk).settings().goal().orElseThrow());
    walk.press("e").type("-21 LUFS").press("Enter");
    assertEquals(4.5, pass(walk).settings().goal().orElseThrow().allowanceDb());
    assertEquals(-21, pass(walk).settings().goal().orElseThrow().targetLufs());
  }

  @Test
  void aLineDrawnBesideAGoalLeavesItAndNoneTakesItOff() {
    WalkScript walk = WalkScript.open().press("L e").type("-20").press("Enter");
    walk.press("+ Enter");
    assertFalse(pass(walk).settings().goalDrawsLine());
    assertEquals(-20, pass(walk).limiter().orElseThrow().goal().targetLufs());

    walk.press("e").type("none").press("Enter");
    assertEquals(Optional.empty(), pass(walk).limiter());
    walk.press("e").type("none").press("Enter");
    assertEquals("there is no goal; -8 sets one", walk.said());
  }

  @Test
  void whatIsNoGoalSaysWhatIs() {
    WalkScript walk = WalkScript.open().press("L");
    for (String typed : List.of("loud", "8 LUFS", "-80", "ceiling -1", "- 8", "-8 -9")) {
      walk.press("e").type(typed).press("Enter");
      assertEquals(
          "'"
              + typed
              + "' is no goal; -8, or -8 ceiling -1 limiter 3, or none;"
              + " line -1.6 or +1.5 dB is a line",
          walk.said());
    }
    assertEquals(0, count(walk, Effect.Analyse.class));
  }

  private static Finding finding(Weight weight) {
    return new Finding(Finding.Kind.CLIPPED, "'claps' is clipped", "", weight, "export it again");
  }

  @Test
  void whatTheCheckFindsComesFirstIfItMattersAndNoKeyWasPressed() {
    WalkScript walk = WalkScript.open();
    assertEquals(1, count(walk, Effect.CheckStems.class));
    walk.tell(new Event.Noted(List.of("skipped: 'notes.txt' (not a stem)", "kept elsewhere")));
    walk.tell(
        new Event.Checked(
            List.of(finding(Weight.MATTERS)), List.of("skipped: 'notes.txt' (not a stem)")));
    assertEquals(Screen.CHECK, walk.model.screen());
    assertEquals("worth knowing before the walk; Enter goes on", walk.said());
    assertEquals(List.of("kept elsewhere"), walk.model.notes());

    walk.press("Enter");
    assertEquals(Screen.WALK, walk.model.screen());
  }

  @Test
  void theCheckInterruptsNobodyWhoIsAtWork() {
    WalkScript walk = WalkScript.open().press("j");
    walk.tell(new Event.Checked(List.of(finding(Weight.MATTERS)), List.of()));
    assertEquals(Screen.WALK, walk.model.screen());
    assertEquals("the check found 1 that matters; C shows it", walk.said());

    WalkScript minor = WalkScript.open();
    minor.tell(new Event.Checked(List.of(finding(Weight.MINOR)), List.of()));
    assertEquals(Screen.WALK, minor.model.screen());
    assertEquals("", minor.said());
  }

  @Test
  void theSpectrumIsMeasuredOnceItIsLookedAtAndFollowsTheMoment() {
    WalkScript walk = WalkScript.open().press("j");
    assertEquals(0, count(walk, Effect.MeasureSpectra.class));

    walk.press("F");
    assertEquals(28_300, walk.model.bands().orElseThrow().peakFrame());
    assertEquals(
        List.of(ArraySong.CLAPS),
        walk.model.bands().get().stems().stream().map(Bands.OfStem::stem).toList());
    walk.press("k");
    assertEquals(14_310, walk.model.bands().orElseThrow().peakFrame());
    // The surdo swings once in 80 samples of 8 kHz, the caixa in 20: 100 and 400 Hz.
    assertEquals(
        List.of("caixa 400 Hz", "surdo 100 Hz"),
        walk.model.bands().get().stems().stream()
            .map(b -> pass(walk).session().stems().get(b.stem()).name() + " " + name(b))
            .sorted()
            .toList());
    walk.press("q F");
    assertEquals(1, count(walk, Effect.MeasureSpectra.class));
    assertEquals(2, count(walk, Effect.ReckonBands.class));
  }

  @Test
  void settingsOfWholeStemsAreTriedOnceTheStemsAreLookedAtAndAnewForOthersLeftAlone() {
    WalkScript walk = WalkScript.open();
    assertEquals(0, count(walk, Effect.TrySettings.class));

    walk.press("S");
    StemSettings settings = walk.model.stemSettings().orElseThrow();
    assertTrue(settings.isThere());
    int moments = pass(walk).moments().size();
    for (StemMove move : settings.moves()) {
      int left = settings.mostUseful(moments).map(StemMove::left).orElse(moments);
      assertTrue(left <= move.left(), settings.toString());
    }
    walk.press("q S j k");
    assertEquals(1, count(walk, Effect.TrySettings.class));

    walk.press("Home f");
    assertEquals(2, count(walk, Effect.TrySettings.class));
    assertTrue(
        walk.model.stemSettings().orElseThrow().moves().stream()
            .noneMatch(move -> move.setting().stem() == 0));
  }

  @Test
  void theLoudnessOfStemsIsMeasuredOnceTheyAreLookedAtAndAnewWithOtherFaders() {
    WalkScript walk = WalkScript.open();
    assertEquals(0, count(walk, Effect.MeterStems.class));
    walk.press("S");
    assertTrue(walk.model.stemLoudness().orElseThrow().isThere());
    walk.press("q S j k");
    assertEquals(1, count(walk, Effect.MeterStems.class));
    walk.press("- Enter");
    assertEquals(2, count(walk, Effect.MeterStems.class));
  }

  private static String name(Bands.OfStem bands) {
    return ThirdOctaves.name(bands.strongest());
  }

  @Test
  void marksAreListedGoneToAndTakenOff() {
    WalkScript walk = WalkScript.open().press("Enter Space t M j j");
    assertEquals(4, MarkRows.of(walk.model).size());

    walk.press("x");
    assertEquals("mark at 0:02.789 taken off; u undoes it", walk.said());
    assertEquals(3, walk.marks().size());
    assertEquals("n!t!", walk.states());

    walk.press("End Enter");
    assertEquals(Screen.WALK, walk.model.screen());
    assertEquals(28_300, walk.row().head().peakFrame());
    assertEquals(OptionalInt.of(ArraySong.CLAPS), walk.model.picked());
  }

  @Test
  void exportAsksWhereToAndWrites() {
    WalkScript walk = WalkScript.open().press("E Enter");
    assertEquals(
        "no fix is marked: W, then Enter, takes one; P, then a, all of the plan", walk.said());
    assertTrue(walk.model.field().isEmpty());

    walk.press("W Enter E Enter");
    assertEquals(Optional.of(TextField.Purpose.TARGET), walk.model.field().map(TextField::purpose));
    walk.press("Enter");
    Effect.WriteCues write =
        (Effect.WriteCues)
            walk.effects.stream()
                .filter(Effect.WriteCues.class::isInstance)
                .findFirst()
                .orElseThrow();
    assertEquals("csv", write.format());
    assertEquals(Path.of("cairn-cues.csv"), write.target());
    assertFalse(write.force());
    assertEquals(walk.model.deeds().marks(), write.state().marks());

    walk.tell(new Event.Written("3 cues written to 'cairn-cues.csv'"));
    assertEquals("3 cues written to 'cairn-cues.csv'", walk.said());

    // Beside the stems, not among them.
    walk.press("Down Down Down Down Enter");
    assertEquals("../cairn-cues.wav", walk.model.field().orElseThrow().text());
  }

  @Test
  void yYokesTheStemWithAnotherByItsNameAndFreesIt() {
    WalkScript walk = WalkScript.open().press("S y");
    assertEquals(TextField.Purpose.YOKE, walk.model.field().orElseThrow().purpose());
    List<String> stems = walk.model.song().orElseThrow().stems();
    walk.hold();
    walk.tell(new Event.Pasted(stems.get(1)));
    walk.press("Enter");
    assertEquals(stems.get(0) + " moves with " + stems.get(1), walk.said());
    Effect.Analyse analyse =
        walk.effects.stream()
            .filter(Effect.Analyse.class::isInstance)
            .map(Effect.Analyse.class::cast)
            .reduce((earlier, later) -> later)
            .orElseThrow();
    assertEquals(Optional.of(Yokes.of(List.of(List.of(0, 1)))), analyse.yokes());

    walk.press("y Enter");
    assertTrue(walk.said().startsWith("type a part of the other stem's name"), walk.said());
    walk.press("f y");
    assertTrue(walk.said().endsWith("f frees it"), walk.said());
  }
}
