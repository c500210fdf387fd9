package cairn.tui.update;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.moment.OverRun;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.PlanOptions;
import cairn.tui.model.BusNow;
import cairn.tui.model.Deeds;
import cairn.tui.model.Effect;
import cairn.tui.model.Event;
import cairn.tui.model.Kept;
import cairn.tui.model.KeyPress;
import cairn.tui.model.Look;
import cairn.tui.model.Model;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Order;
import cairn.tui.model.Row;
import cairn.tui.model.Screen;
import cairn.tui.model.Size;
import cairn.tui.model.TextField;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import org.junit.jupiter.api.Test;

/**
 * Key scripts. The stems of {@link ArraySong} give three rows: three strokes of caixa and surdo,
 * the highest at 14310; a clap at 28300; a long choir from 33000 on.
 */
class WalkTest {

  private static final Set<Long> STROKES = Set.of(6_310L, 14_310L, 22_310L);

  private static List<Fix> fixes(WalkScript walk) {
    return walk.model.deeds().marks().fixes().stream().map(Mark.OfFix::fix).toList();
  }

  private static Set<Long> frames(WalkScript walk) {
    return Set.copyOf(walk.marks().stream().map(Mark::momentFrame).toList());
  }

  @Test
  void theWalkOpensOnTheHighestMomentAndTellsTheFirstKeys() {
    WalkScript walk = WalkScript.open();

    assertEquals("!!!", walk.states());
    assertEquals(14_310, walk.row().head().peakFrame());
    assertEquals(3, walk.row().places().size());
    assertEquals(
        "Space next moment, Enter take the fix, f fine as it is, ? all keys",
        Verdicts.of(walk.model));
  }

  @Test
  void enterTakesWhatIsProposedInAllItsPlaces() {
    WalkScript walk = WalkScript.open().press("Enter");

    assertEquals(STROKES, frames(walk));
    assertEquals("n!!", walk.states());
    for (Fix fix : fixes(walk)) {
      assertTrue(fix instanceof Nudge nudge && nudge.stem() == ArraySong.CAIXA, fix.toString());
    }
    assertTrue(
        walk.said().startsWith("caixa 1.38 ms later in all 3 places; u undoes it"), walk.said());
    assertTrue(Verdicts.of(walk.model).startsWith("Cleared: "), Verdicts.of(walk.model));
  }

  @Test
  void enterAgainSaysThatItIsTakenAlready() {
    WalkScript walk = WalkScript.open().press("Enter Enter");

    assertEquals(3, walk.marks().size());
    assertEquals(1, walk.model.undone().size());
    assertEquals("caixa 1.38 ms later is taken already; v shows another", walk.said());
  }

  @Test
  void anotherFixTakesThePlaceOfOneThatHasCleared() {
    WalkScript walk = WalkScript.open().press("Enter v Enter");

    assertEquals(3, walk.marks().size());
    assertTrue(fixes(walk).stream().allMatch(fix -> fix.stem() == ArraySong.SURDO));
    assertTrue(walk.said().contains("in place of caixa's mark"), walk.said());
  }

  @Test
  void verdictsAreOneSentenceAsTheScreensPageHasThem() {
    WalkScript walk = WalkScript.open().press("j k");
    // The peak 0.604 over the line 10^(−6.5/20): 20·log10(0.604) + 6.5 = 2.1 dB.
    assertTrue(
        Verdicts.of(walk.model).startsWith("2.1 dB over the line for "), Verdicts.of(walk.model));
    assertTrue(
        Verdicts.of(walk.model).contains(". Gentlest: caixa 1.38 ms later, all 3"),
        Verdicts.of(walk.model));

    walk.press("End");
    // 1600 frames at 8 kHz.
    assertTrue(
        Verdicts.of(walk.model)
            .startsWith("Over for 200 ms: level, not a spike; ride it at the desk."),
        Verdicts.of(walk.model));
  }

  @Test
  void nTAndCPutTheLeastFixOfThePickedStemAndReplaceItsMark() {
    WalkScript walk = WalkScript.open().press("Space t");
    assertEquals(List.of(Trim.class), fixes(walk).stream().map(Object::getClass).toList());
    assertEquals("!t!", walk.states());

    walk.press("c");
    assertEquals(List.of(Clip.class), fixes(walk).stream().map(Object::getClass).toList());
    assertEquals("!c!", walk.states());

    walk.press("n");
    // A clap of one sample is as high wherever it is moved.
    assertEquals("no nudge of claps helps here; h l move it by hand", walk.said());
    assertEquals("!c!", walk.states());
  }

  @Test
  void hAndLMoveTheHitByOneStepInAllPlacesAndBackAgain() {
    WalkScript walk = WalkScript.open().press("l l l h");

    assertEquals(STROKES, frames(walk));
    assertTrue(fixes(walk).stream().allMatch(fix -> ((Nudge) fix).frames() == 2));
    assertEquals("caixa 0.25 ms later (2 samples) in 3 places", walk.said());

    walk.press("h h");
    assertEquals(List.of(), walk.marks());
    assertEquals("caixa is here as it was", walk.said());
  }

  @Test
  void theStepIsASampleATenthOrAWholeMillisecond() {
    WalkScript walk = WalkScript.open().press(", l");
    assertEquals(1, ((Nudge) fixes(walk).get(0)).frames());

    walk.press("x . l");
    // 0.1 ms at 8 kHz is 0.8 samples, rounded to 1.
    assertEquals(1, ((Nudge) fixes(walk).get(0)).frames());

    walk.press("x . l");
    assertEquals(8, ((Nudge) fixes(walk).get(0)).frames());
    walk.press(".");
    assertEquals("step 1 ms, 1 dB, there is no coarser one", walk.said());
  }

  @Test
  void minusTrimsAndPlusNeverGoesAboveZero() {
    WalkScript walk = WalkScript.open().press("- - -");
    assertTrue(fixes(walk).stream().allMatch(fix -> ((Trim) fix).tenthsDb() == 3));

    walk.press("+ + + +");
    assertEquals(List.of(), walk.marks());
    assertEquals("a trim never goes above 0 dB; S, then +, turns the whole stem up", walk.said());
  }

  @Test
  void minusAndPlusMoveTheCeilingOfAClip() {
    WalkScript walk = WalkScript.open().press("Space c");
    int ceiling = ((Clip) fixes(walk).get(0)).ceilingTenthsDb();

    walk.press("- - +");

    assertEquals(ceiling - 1, ((Clip) fixes(walk).get(0)).ceilingTenthsDb());
  }

  @Test
  void aFixThatOnlyLowersSaysWhatItLeavesAndMarksTheHeadAlone() {
    WalkScript walk = WalkScript.open();
    // v goes round; the trim of a plan, of 3 dB at most, is among what it shows.
    for (int i = 0; i < 10 && walk.model.proposed().orElseThrow().kind() != Fix.Kind.TRIM; i++) {
      walk.press("v");
    }
    walk.press("Enter");

    assertEquals(Set.of(14_310L), frames(walk));
    assertEquals("t!!!", walk.states());
    // 20·log10(0.302 · (1 + 10^(−3/20))) + 6.5 = 0.7496 dB over the line.
    assertEquals("caixa trim -3.0 dB, leaves 0.7 dB; u undoes it", walk.said());
  }

  @Test
  void anotherKindTakesThePlaceOfTheStemsMark() {
    WalkScript walk = WalkScript.open().press("l -");

    assertEquals(3, walk.marks().size());
    assertTrue(fixes(walk).stream().allMatch(Trim.class::isInstance));
  }

  @Test
  void exactAmountsAreTypedWithTheirUnit() {
    WalkScript walk = WalkScript.open().press("e").type("7 samples earlier").press("Enter");
    assertTrue(fixes(walk).stream().allMatch(fix -> ((Nudge) fix).frames() == -7));

    walk.press("e").type("0.5 ms later").press("Enter");
    assertTrue(fixes(walk).stream().allMatch(fix -> ((Nudge) fix).frames() == 4));

    walk.press("e").type("-1,5 dB").press("Enter");
    assertTrue(fixes(walk).stream().allMatch(fix -> ((Trim) fix).tenthsDb() == 15));

    List<Mark> marks = walk.marks();
    for (String wrong : List.of("0.5", "3 ms", "1.5 dB", "-3 ms later", "30 ms later", "later")) {
      walk.press("e").type(wrong).press("Enter");
      assertEquals(marks, walk.marks(), wrong);
      assertFalse(walk.said().isEmpty(), wrong);
    }
    walk.press("e").type("3 ms later").press("Escape");
    assertEquals(marks, walk.marks());
  }

  @Test
  void hereOnlyMarksOnePlaceAndTheRestHaveARowOfTheirOwn() {
    WalkScript walk = WalkScript.open().press("a Enter");

    assertEquals(Set.of(14_310L), frames(walk));
    assertEquals("n!!!", walk.states());
    assertEquals(2, walk.model.rows().get(1).places().size());
    assertEquals(14_310, walk.row().head().peakFrame());

    walk.press("u");
    assertEquals("!!!", walk.states());
  }

  @Test
  void aPickedStemIsNamedInFullAndTabWalksOn() {
    WalkScript walk = WalkScript.open().press("2");
    assertEquals(OptionalInt.of(ArraySong.SURDO), walk.model.pickedStem());
    assertEquals("surdo.wav: 50 % of this peak", walk.said());

    walk.press("Shift-Tab");
    assertEquals(OptionalInt.of(ArraySong.CAIXA), walk.model.pickedStem());
    walk.press("Tab Tab Tab Tab Tab");
    assertEquals(OptionalInt.of(ArraySong.CAIXA), walk.model.pickedStem());
    walk.press("9");
    assertEquals("the pile has 5 stems; Tab walks through them", walk.said());
  }

  @Test
  void aStemLeftAloneIsRefusedAndFreedAgain() {
    WalkScript walk = WalkScript.open().press("S j f W");
    assertEquals(Set.of(ArraySong.CAIXA), walk.model.deeds().leftAlone());

    walk.press("1 l");
    assertEquals("caixa is left alone; S, then f, frees it", walk.said());
    assertEquals(List.of(), walk.marks());
    assertTrue(
        walk.model.momentNow().orElseThrow().advice().stream()
            .noneMatch(advice -> advice.stem() == ArraySong.CAIXA));

    walk.press("S f W 1 l");
    assertEquals(3, walk.marks().size());
  }

  @Test
  void fineTakesTheMarksAwayAndAsksAgainWhenTakenBack() {
    WalkScript walk = WalkScript.open().press("Enter f");
    assertEquals("f!!", walk.states());
    assertEquals(STROKES, Set.copyOf(walk.model.deeds().marks().fineFrames()));

    walk.press("f");
    assertEquals("!!!", walk.states());
  }

  @Test
  void onlyWhatIsMarkedCanBeDone() {
    WalkScript walk = WalkScript.open().press("d");
    assertEquals(
        "nothing is marked here that could be done; Enter marks what is proposed", walk.said());

    walk.press("Enter d");
    assertEquals("d!!", walk.states());
    assertEquals(STROKES, walk.model.deeds().done());

    walk.press("l");
    assertEquals("n!!", walk.states());
    assertEquals(Set.of(), walk.model.deeds().done());
  }

  @Test
  void dropTakesThePickedStemsMarkOffAndThenTheOthers() {
    WalkScript walk = WalkScript.open().press("1 l 2 - x");
    assertTrue(fixes(walk).stream().allMatch(fix -> fix.stem() == ArraySong.CAIXA));
    assertEquals(3, walk.marks().size());

    walk.press("x");
    assertEquals(List.of(), walk.marks());
    walk.press("x");
    assertEquals("there is no mark here; Enter takes what is proposed", walk.said());
  }

  @Test
  void aNoteStaysWithItsMomentAndItsMarks() {
    WalkScript walk = WalkScript.open().press("i").type("ask Ina").press("Enter");
    assertEquals(Map.of(14_310L, "ask Ina"), walk.model.deeds().notes());

    walk.press("Enter l");
    Mark head =
        walk.marks().stream().filter(m -> m.momentFrame() == 14_310).findFirst().orElseThrow();
    assertEquals(Optional.of("ask Ina"), head.note());

    walk.press("u u u");
    assertEquals(Deeds.NONE.withFaders(walk.model.faders()), walk.model.deeds());
  }

  @Test
  void spaceGoesFromOpenMomentToOpenMomentAndSaysWhenAllAreDecided() {
    WalkScript walk = WalkScript.open().press("Enter Space Space");
    assertEquals(33_000, walk.row().head().peakFrame());
    walk.press("Space");
    assertEquals(28_300, walk.row().head().peakFrame());
    walk.press("Backspace");
    assertEquals(33_000, walk.row().head().peakFrame());

    walk.press("f Space Enter");
    assertTrue(walk.said().endsWith("all 3 decided; P plan, E export"), walk.said());
    walk.press("Space");
    assertEquals("all 3 decided; P plan, E export", walk.said());
  }

  @Test
  void theListIsSortedAndNarrowedAndKeepsItsMoment() {
    WalkScript walk = WalkScript.open().press("Space o");
    assertEquals(Order.TIME, walk.model.order());
    assertEquals(28_300, walk.row().head().peakFrame());
    assertEquals(List.of(14_310L, 28_300L, 33_000L), heads(walk));

    walk.press("/").type("lone").press("Enter");
    assertEquals(List.of(28_300L, 33_000L), heads(walk));
    walk.press("/").type("SURDO").press("Enter");
    assertEquals(List.of(14_310L), heads(walk));
    walk.press("/").type(">2.5").press("Enter");
    assertEquals(List.of(14_310L, 28_300L), heads(walk));
    // Frames 24000 to 30000.
    walk.press("/").type("0:03-3.75").press("Enter");
    assertEquals(List.of(28_300L), heads(walk));
    walk.press("/").type("end of it = 0:03-0:05").press("Enter");
    assertEquals("section end of it is named; / end of it narrows to it", walk.said());
    walk.press("/").type("end of it").press("Enter");
    assertEquals(List.of(28_300L, 33_000L), heads(walk));
    walk.press("/").type("!").press("Enter Enter");
    assertEquals(2, walk.model.rows().size());
    walk.press("/").type("tuba").press("Enter");
    assertEquals("nothing matches 'tuba'; Esc shows all", walk.said());
    walk.press("Enter");
    assertEquals("nothing matches 'tuba'; Esc shows all", walk.said());
    walk.press("Escape");
    assertEquals(3, walk.model.rows().size());
  }

  private static List<Long> heads(WalkScript walk) {
    return walk.model.rows().stream().map(row -> row.head().peakFrame()).toList();
  }

  @Test
  void goToTakesATimeABarARankAndTheEnd() {
    WalkScript walk = WalkScript.open().press("g").type("0:03.5").press("Enter");
    assertEquals(28_300, walk.row().head().peakFrame());
    walk.press("g").type("0:02.8").press("Enter");
    assertEquals(14_310, walk.row().head().peakFrame());
    // 22310 frames at 8 kHz are 2.789 s, the head's 14310 are 1.789 s.
    assertEquals(
        "the moment nearest to 0:02.8 is at 0:02.789, alike to this one at 0:01.789", walk.said());
    walk.press("g").type("end").press("Enter");
    assertEquals(33_000, walk.row().head().peakFrame());
    walk.press("g").type("1").press("Enter");
    assertEquals(14_310, walk.row().head().peakFrame());
    // 120 quarter notes a minute in 4/4: bar 2, beat 4 begins at 3.5 s.
    walk.press("g").type("2|4").press("Enter");
    assertEquals(28_300, walk.row().head().peakFrame());
    walk.press("g").type("bar 1").press("Enter");
    assertEquals(14_310, walk.row().head().peakFrame());
    walk.press("g").type("nowhere").press("Enter");
    assertTrue(walk.said().startsWith("'nowhere' is no place; "), walk.said());
  }

  @Test
  void aChangeIsSavedFirstAndAsksForBusAndMomentOnce() {
    WalkScript walk = WalkScript.open().hold();
    walk.effects.clear();

    walk.press("Enter");

    assertEquals(
        List.of(Effect.Save.class, Effect.ReckonBus.class, Effect.ReckonMoment.class),
        walk.effects.stream().map(Object::getClass).toList());
    Effect.Save save = (Effect.Save) walk.effects.get(0);
    assertTrue(save.decides());
    assertEquals(walk.model.changes(), save.change());
    assertEquals(walk.model.deeds().marks(), save.state().marks());
    assertTrue(walk.model.busNow().isEmpty());
    assertTrue(walk.model.momentNow().isEmpty());
    assertEquals("…", Verdicts.of(walk.model).substring(0, 1));
  }

  @Test
  void movingAsksOnlyOnceTheKeysRest() {
    WalkScript walk = WalkScript.open().hold();
    walk.effects.clear();

    walk.press("j j");

    assertEquals(List.of(new Effect.AwaitRest(1), new Effect.AwaitRest(2)), walk.effects);
    walk.effects.clear();
    walk.tell(new Event.Rested(1));
    assertEquals(List.of(), walk.effects);
    walk.tell(new Event.Rested(2));
    assertEquals(
        List.of(33_000L),
        walk.effects.stream()
            .filter(Effect.ReckonMoment.class::isInstance)
            .flatMap(effect -> ((Effect.ReckonMoment) effect).momentFrames().stream())
            .toList());
  }

  @Test
  void aPileIsThereAsFoundWhileItsMomentIsLookedIntoUnlessAMarkIsNear() {
    WalkScript walk = WalkScript.open().hold();
    walk.press("j");
    assertEquals(Optional.empty(), walk.model.pile(), "keys go on, perhaps");
    walk.tell(new Event.Rested(1));
    assertEquals(Optional.empty(), walk.model.momentNow());
    MomentNow.Pile asFound = walk.model.pile().orElseThrow();
    assertEquals(MomentNow.Pile.of(walk.model.row().orElseThrow().head()), asFound);
    walk.answer();
    assertEquals(asFound, walk.model.momentNow().orElseThrow().pile());
    assertEquals(asFound, walk.model.pile().orElseThrow());

    walk.press("Enter");
    assertEquals(1, walk.model.deeds().marks().fixes().size());
    assertEquals(Optional.empty(), walk.model.pile(), "it is another now");
    walk.answer();
    assertFalse(walk.model.pile().orElseThrow().over());

    walk.press("k");
    walk.tell(new Event.Rested(walk.model.keys()));
    assertEquals(Optional.empty(), walk.model.momentNow());
    assertEquals(
        MomentNow.Pile.of(walk.model.row().orElseThrow().head()), walk.model.pile().orElseThrow());
  }

  @Test
  void closeUpAndMapSayWhatTheyShow() {
    WalkScript walk = WalkScript.open();
    // 74 columns of two dots at 8 kHz: half a sample a dot is 9.25 ms.
    List<String> widths = new ArrayList<>();
    for (int i = 0; i < 6; i++) {
      widths.add(walk.press("z").said());
    }
    assertEquals(
        List.of(
            "close-up 10 ms wide",
            "close-up 30 ms wide",
            "close-up 100 ms wide",
            "close-up 200 ms wide",
            "close-up 9.3 ms wide",
            "close-up 9.3 ms wide"),
        widths);
    assertEquals(
        "the map shows the section of the moment, or else the loud part", walk.press("b").said());
    assertEquals("the map shows 16 s about the moment", walk.press("b").said());
    assertEquals("the map shows the whole song", walk.press("b").said());
  }

  @Test
  void aKeyThatWaitsAsksAtOnceAndOnlyOnce() {
    WalkScript walk = WalkScript.open().hold();
    walk.effects.clear();

    walk.press("j Enter Enter u");

    assertEquals(3, walk.model.waiting().size());
    assertEquals(1, walk.effects.stream().filter(Effect.ReckonMoment.class::isInstance).count());
    assertEquals(List.of(), walk.marks());
    walk.answer();
    assertEquals(List.of(), walk.model.waiting());
    assertEquals(List.of(), walk.marks());
    assertEquals(1, walk.model.redoable().size());
  }

  @Test
  void whatNeedsNoSumIsNotSummed() {
    WalkScript walk = WalkScript.open().press("Enter");
    walk.effects.clear();

    walk.press("i").type("later").press("Enter Space f");

    assertEquals(0, walk.effects.stream().filter(Effect.ReckonBus.class::isInstance).count());
    assertTrue(walk.model.busNow().isPresent());
  }

  @Test
  void aKeyGoesBeyondWhatAPlanProposes() {
    WalkScript walk = WalkScript.open();
    // Both stems reach 0.302, the line is 10^(−6.5/20) = 0.4732: one must come down to 0.1712, by
    // 4.93 dB, which is more than the 3 dB of a plan.
    walk.press("1 t");

    assertEquals(3, walk.marks().size());
    for (Mark mark : walk.marks()) {
      assertEquals(50, ((Trim) ((Mark.OfFix) mark).fix()).tenthsDb());
    }
    assertTrue(
        walk.said().contains("trim -5.0 dB in 3 places; more than is proposed"), walk.said());

    // The 3 dB that a plan would take no longer clear it.
    List<Mark> made = walk.marks();
    walk.press("t");
    assertEquals(made, walk.marks());
    assertTrue(walk.said().contains(" clears it as it is; u undoes that"), walk.said());
  }

  @Test
  void aPlanThatFailsLeavesTheKeysThatWaitForTheMoment() {
    WalkScript walk = WalkScript.open().press("P W").hold().press("j n");
    assertEquals(1, walk.model.waiting().size());

    walk.tell(
        new Event.Failed(
            new Effect.MakePlan(walk.model.deeds().marks(), PlanOptions.DEFAULT), "cancelled"));

    assertEquals(1, walk.model.waiting().size());
    assertEquals("stopped: no plan: cancelled", walk.said());
  }

  @Test
  void keysThatWaitAreDroppedWhenTheAnswerFails() {
    WalkScript walk = WalkScript.open().hold().press("j n t");

    walk.tell(
        new Event.Failed(walk.model.asked().orElseThrow(), "'caixa.wav' cannot be read any more"));

    assertEquals(List.of(), walk.model.waiting());
    assertTrue(walk.model.said().contains("2 keys that waited did nothing"));
    assertEquals("stopped: 'caixa.wav' cannot be read any more", walk.said());

    walk.press("k n Ctrl-C");
    assertEquals("1 key that waited did nothing", walk.said());
    assertEquals(0, walk.effects.stream().filter(Effect.Leave.class::isInstance).count());
  }

  @Test
  void whatMarksElsewhereClearIsGoneAndWhatTheyRaiseIsNew() {
    WalkScript walk = WalkScript.open().hold().press("Enter");
    OverRun fresh = new OverRun(20_000, 20_001, 20_001, 0, 0.7, 2, 2, 2, 2);
    BusNow bus =
        new BusNow(
            walk.model.deeds().marks(),
            0.7,
            List.of(fresh),
            List.of(fresh),
            walk.model.lastBus().orElseThrow().ladder(),
            i -> 0);

    walk.tell(new Event.BusReckoned(bus));

    assertEquals("n--*", walk.states());
    // 20·log10(0.7) + 6.5 = 3.4 dB above the line, where nothing was.
    assertEquals(
        "warning: that makes it 3.4 dB louder at 0:02.500, over the line; u undoes it",
        walk.said());
    walk.press("j t");
    assertEquals(
        "marks elsewhere have cleared this one: nothing is to be done; Space goes on", walk.said());
    assertEquals(
        "Cleared by marks elsewhere: nothing is to be done here.",
        Verdicts.of(walk.model).substring(0, 55));
    walk.press("Space");
    assertEquals(20_001, walk.row().head().peakFrame());
  }

  @Test
  void whatWasKeptIsThereAgain() {
    WalkScript first = WalkScript.open().press("Enter j o f S k f");
    Kept kept = ((Effect.Save) last(first, Effect.Save.class)).state();

    WalkScript again = WalkScript.open(Optional.of(kept));

    assertEquals(first.model.deeds(), again.model.deeds());
    assertEquals(first.model.order(), again.model.order());
    assertEquals(kept.selectedFrame(), again.row().head().peakFrame());
    assertEquals("welcome back: 4 marks as you left them", again.said());
    assertEquals(List.of(), again.model.undone());
  }

  private static Effect last(WalkScript walk, Class<? extends Effect> kind) {
    return walk.effects.stream().filter(kind::isInstance).reduce((a, b) -> b).orElseThrow();
  }

  @Test
  void leavingKeepsWhereOneStands() {
    WalkScript walk = WalkScript.open().press("j");
    walk.effects.clear();

    walk.press("k q");

    assertEquals(14_310, ((Effect.Save) last(walk, Effect.Save.class)).state().selectedFrame());
    assertFalse(((Effect.Save) last(walk, Effect.Save.class)).decides(), "where one stands");
    assertEquals(Effect.Leave.class, walk.effects.get(walk.effects.size() - 1).getClass());
  }

  @Test
  void qLeavesWhatIsNotSavedOnlyWhenAskedTwice() {
    WalkScript walk = WalkScript.open();
    walk.tell(new Event.NotSaved("the disk is full; make room on it"));

    walk.press("q");
    assertEquals(
        "warning: not saved: the disk is full; make room on it; q again leaves all the same",
        walk.said());
    assertEquals(0, walk.effects.stream().filter(Effect.Leave.class::isInstance).count());
    walk.press("q");
    assertEquals(1, walk.effects.stream().filter(Effect.Leave.class::isInstance).count());
  }

  @Test
  void escNeverLeavesTheWalk() {
    WalkScript walk = WalkScript.open().press("Escape S Escape Escape Escape");

    assertEquals(Screen.WALK, walk.model.screen());
    assertEquals(0, walk.effects.stream().filter(Effect.Leave.class::isInstance).count());
  }

  @Test
  void keysAreAliveWhileTheStemsAreRead() {
    Model model = Model.start(new Size(80, 24), new Look(true, Look.Colours.NONE), "parade");
    for (String key : "j n l - x f d a S m f L + P M E C W /".split(" ", -1)) {
      model = Update.update(model, new Event.Pressed(KeyPress.text(key.codePointAt(0)))).model();
    }

    assertEquals(Optional.of(TextField.Purpose.NARROW), model.field().map(TextField::purpose));
    assertEquals(List.of(), model.waiting());
    assertEquals(Deeds.NONE, model.deeds());
  }

  @Test
  void whatMattersAboutTheStemsIsSeenFirst() {
    WalkScript walk = WalkScript.open();
    walk.tell(new Event.Noted(List.of("warning: 'claps.wav' is empty")));
    assertEquals(Screen.CHECK, walk.model.screen());

    walk.press("Enter");
    assertEquals(Screen.WALK, walk.model.screen());
  }

  @Test
  void aWarningInMidWalkIsSaidAndKept() {
    WalkScript walk = WalkScript.open().press("j");
    walk.tell(new Event.Noted(List.of("the rest", "warning: 'claps' is set 9.00 ms earlier")));
    assertEquals(Screen.WALK, walk.model.screen());
    assertEquals("warning: 'claps' is set 9.00 ms earlier", walk.said());
    assertEquals(
        List.of("the rest", "warning: 'claps' is set 9.00 ms earlier"), walk.model.notes());
  }

  @Test
  void helpIsSearchedByTypingAndDoesTheChosenAction() {
    WalkScript walk = WalkScript.open().press("Space ?").type("least trim").press("Enter");
    // The help is gone and its action done.
    assertEquals(Screen.WALK, walk.model.screen());
    assertEquals("!t!", walk.states());

    walk.press("?").type("zzz").press("Enter");
    assertTrue(walk.said().startsWith("no key does 'zzz'"), walk.said());
    walk.press("Escape");
    assertEquals(Screen.WALK, walk.model.screen());

    walk.press("?").type("mute").press("Enter");
    assertEquals(Screen.STEMS, walk.model.screen());
  }

  @Test
  void keysOfOtherScreensSayWhereTheyAreAndUnknownOnesOnlyOnce() {
    WalkScript walk = WalkScript.open().press("m");
    assertEquals("m (mute) is for Stems; S goes there", walk.said());

    walk.press("#");
    assertEquals("# does nothing; ? shows all keys", walk.said());
    walk.press("j #");
    assertEquals("", walk.said());
    walk.press(";");
    assertEquals("; does nothing; ? shows all keys", walk.said());
  }

  @Test
  void everyCapitalThatDoesNothingNamesItsSmallLetterHoweverOftenItIsPressed() {
    for (char screen : "WSLPMFEC".toCharArray()) {
      WalkScript walk = WalkScript.open().press(KeyPress.text(screen));
      for (int i = 0; i < 2; i++) {
        for (char capital : "ABDGHIJKNOQRTUVXYZ".toCharArray()) {
          walk.press("End").press(KeyPress.text(capital));
          String wanted =
              capital + " does nothing; small " + Character.toLowerCase(capital) + " is for ";
          assertTrue(walk.said().startsWith(wanted), screen + ": " + walk.said());
          assertTrue(walk.said().endsWith("Caps Lock? ? shows all keys"), walk.said());
        }
      }
      List<String> said = walk.model.said();
      assertEquals(new HashSet<>(said).size(), said.size(), "kept once on Check");
    }
  }

  @Test
  void rowsThatAreShownAreNeverLost() {
    WalkScript walk = WalkScript.open();
    for (String key : "j j j j k Home End Page-Up Page-Down".split(" ", -1)) {
      walk.press(key);
      Row row = walk.row();
      assertTrue(walk.model.rows().contains(row), key);
    }
    assertEquals(33_000, walk.row().head().peakFrame());
  }
}
