package cairn.tui.effect;

import cairn.collisions.Analysis;
import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.Unanalysable;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.EarlierPass;
import cairn.collisions.plan.GoneMoments;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.PassComparison;
import cairn.collisions.plan.Shift;
import cairn.collisions.plan.ShiftFinder;
import cairn.collisions.plan.WhatIf;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.io.listing.Since;
import cairn.io.session.SavedMark;
import cairn.io.session.SavedPass;
import cairn.io.session.SavedSession;
import cairn.io.session.SessionFile;
import cairn.io.session.StemMatch;
import cairn.io.session.StemRef;
import cairn.io.stems.StemFile;
import cairn.io.stems.StemFiles;
import cairn.io.stems.StemSet;
import cairn.tui.model.Earlier;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;

/**
 * Which pass over the song this is, and what it is held against: stems that were exported again,
 * over the old ones or to another folder, begin a further one; definitions.md, 5.
 */
final class Passes {

  private final Stems stems;
  private final StemSet set;
  private final StemFiles files;
  private final Crew crew;
  private final Keeping keeping;
  private final List<String> lines = new ArrayList<>();

  private boolean hasBegun;
  private int number = 1;
  private Optional<EarlierPass> earlier = Optional.empty();
  private Optional<SavedPass> before = Optional.empty();
  private long shiftFrames;

  Passes(Stems stems, StemSet set, StemFiles files, Crew crew, Keeping keeping) {
    this.stems = stems;
    this.set = set;
    this.files = files;
    this.crew = crew;
    this.keeping = keeping;
  }

  /** The session in the folder of an earlier export, if there is one. */
  static Optional<SavedSession> sessionIn(Optional<Path> since) throws IOException {
    if (since.isEmpty()) {
      return Optional.empty();
    }
    Path file = since.get().resolve(SessionFile.NAME);
    return Files.exists(file) ? Optional.of(SessionFile.read(file)) : Optional.empty();
  }

  /** 1 for the first pass over the song. */
  int number() {
    return number;
  }

  /** Whether it is a further pass that begins now: no line was moved in it yet. */
  boolean hasBegun() {
    return hasBegun;
  }

  /** By how many frames these stems are later than those of the pass before; below 0: earlier. */
  long shiftFrames() {
    return shiftFrames;
  }

  /** What is to be said about the pass before, a line each. */
  List<String> lines() {
    return lines;
  }

  /** The line of the pass before, which is held; empty: there is none. */
  Optional<Line> held() {
    return earlier.map(e -> new Line.Held(e.lineLevel()));
  }

  /** Finds out which pass this is; once, before anything is shown and before {@link #again}. */
  void begin(Pass pass, Progress progress) throws IOException, Unanalysable {
    Optional<Shift> found = Optional.empty();
    boolean begins = keeping.isForeign();
    if (stems.since().isPresent() && keeping.isAlone()) {
      found = precede(stems.since().get(), pass, progress);
      begins = true;
    }
    List<SavedPass> known = keeping.passes();
    Optional<SavedPass> last =
        known.isEmpty() ? Optional.empty() : Optional.of(known.get(known.size() - 1));
    if (last.isEmpty()) {
      return;
    }
    if (!begins && isOf(last.get(), pass)) {
      number = last.get().number();
      shiftFrames = last.get().shiftFrames().orElse(0);
      boolean compared = known.size() > 1 && last.get().shiftFrames().isPresent();
      if (compared) {
        before = Optional.of(known.get(known.size() - 2));
        earlier = comparable(before.get(), pass);
      }
      keeping.before(known.subList(0, known.size() - 1));
      return;
    }
    hasBegun = true;
    number = last.get().number() + 1;
    before = last;
    earlier = comparable(last.get(), pass);
    if (earlier.isPresent()) {
      shift(found.isPresent() ? found.get() : find(earlier.get(), pass));
    }
    keeping.nextPass(shiftFrames);
    List<SavedPass> all = keeping.passes();
    before = Optional.of(all.get(all.size() - 1));
    keeping.before(all);
  }

  private Shift find(EarlierPass pass, Pass now) throws IOException {
    return ShiftFinder.find(pass, now.session(), files);
  }

  private void shift(Shift shift) {
    if (shift instanceof Shift.Found found) {
      shiftFrames = found.frames();
    } else if (shift instanceof Shift.Unlike unlike) {
      earlier = Optional.empty();
      lines.add(
          String.format(
              Locale.ROOT,
              "warning: these stems are of another song than pass %d, or start more than 1 s apart"
                  + " (the two sums are alike by %.2f of 1 at best): nothing is compared",
              number - 1,
              unlike.likeness()));
    }
  }

  private Optional<EarlierPass> comparable(SavedPass pass, Pass now) {
    if (pass.mode() != now.settings().mode()) {
      lines.add(
          "warning: pass "
              + pass.number()
              + " is in "
              + pass.mode().unit()
              + ", this one in "
              + now.settings().mode().unit()
              + ": nothing is compared; start again without --true-peak or with it");
      return Optional.empty();
    }
    Optional<EarlierPass> found = pass.earlier(keeping.tempo());
    if (found.isEmpty()) {
      lines.add(
          "the line of pass " + pass.number() + " moves along with the song: nothing is compared");
    }
    return found;
  }

  /** Whether a pass is over these very stems; what they sound like is compared only if need be. */
  private boolean isOf(SavedPass last, Pass pass) throws IOException {
    List<StemRef> refs = StemRef.of(set);
    List<SavedPass.Stamp> stamps = stamps(set);
    return last.isUntouched(refs, stamps)
        || last.isOf(SavedPass.of(number, Instant.now(), pass, refs, stamps));
  }

  private static List<SavedPass.Stamp> stamps(StemSet of) throws IOException {
    List<SavedPass.Stamp> stamps = new ArrayList<>();
    for (StemFile stem : of.stems()) {
      stamps.add(SavedPass.Stamp.of(stem));
    }
    return stamps;
  }

  /** This pass after an analysis: the first, or one with other faders or another line. */
  void again(Pass pass) throws IOException {
    Instant when = Instant.now();
    List<SavedPass.Stamp> stamps = stamps(set);
    int which = number;
    OptionalLong shift = earlier.isPresent() ? OptionalLong.of(shiftFrames) : OptionalLong.empty();
    keeping.current(
        () -> SavedPass.of(which, when, pass, StemRef.of(set), stamps).withShift(shift));
  }

  /**
   * Puts a pass over the stems in another folder before this one: the last one of their session, or
   * one that is made of them now.
   *
   * @return the shift, where it was found from both stems
   */
  private Optional<Shift> precede(Path folder, Pass now, Progress progress)
      throws IOException, Unanalysable {
    Optional<SavedSession> session = sessionIn(Optional.of(folder));
    if (session.isPresent() && !session.get().passes().isEmpty()) {
      keeping.precede(session.get().withNextPass(0).passes());
      return Optional.empty();
    }
    StemSet old = stems.scan(folder);
    if (old.sampleRateHz() != set.sampleRateHz()) {
      throw new IOException(
          String.format(
              Locale.ROOT,
              "the earlier stems in '%s' have %d Hz, these have %d Hz; export these at %d Hz",
              SafeText.of(folder),
              old.sampleRateHz(),
              set.sampleRateHz(),
              old.sampleRateHz()));
    }
    try (StemFiles oldFiles = old.open()) {
      Session plain = stems.earlierSession(old);
      Settings settings = now.settings();
      Pass pass =
          new Analysis(plain, oldFiles, crew, progress).with(stems.memory(oldFiles)).run(settings);
      SavedPass made = SavedPass.of(1, Instant.now(), pass, StemRef.of(old), stamps(old));
      if (session.isPresent() && pass.line().isLevel()) {
        StemMatch match = session.get().match(StemRef.of(old));
        try (WhatIf plainBus = WhatIf.of(pass, oldFiles)) {
          made =
              made.withTold(EarlierPass.of(pass, plainBus.to(session.get().marks(match))))
                  .withMarks(
                      session.get().marks().stream().filter(m -> m.stem().isPresent()).toList());
        }
      }
      Shift shift = ShiftFinder.find(pass, oldFiles, now.session(), files);
      oldFiles.verifyUnchanged();
      keeping.precede(List.of(made));
      return Optional.of(shift);
    }
  }

  /** Holds this pass against the one before, if there is one. */
  Optional<Earlier> compare(Pass pass, Opened opened) throws IOException {
    if (earlier.isEmpty()) {
      return Optional.empty();
    }
    PassComparison compared = PassComparison.of(earlier.get(), shiftFrames, pass, files, crew);
    List<Moment> gone = new ArrayList<>();
    for (Moment left : GoneMoments.of(compared, opened.with(Marks.NONE), pass.moments().size())) {
      // At a line of its own this pass lists what is gone at the line that was held.
      if (left.peak() <= pass.line().levelAt(left.peakFrame())) {
        gone.add(left);
      }
    }
    opened.gone(gone);
    List<Earlier.Made> fixes = new ArrayList<>();
    for (SavedMark saved : before.map(SavedPass::marks).orElse(List.of())) {
      long frame = saved.mark().momentFrame() + shiftFrames;
      if (frame >= 0 && saved.on(0) instanceof Mark.OfFix fix) {
        fixes.add(
            new Earlier.Made(
                SafeText.of(saved.stem().orElseThrow().name()),
                new Mark.OfFix(frame, fix.fix(), fix.note()),
                saved.done()));
      }
    }
    return Optional.of(Earlier.of(compared, pass.moments(), gone, fixes));
  }

  /** What the comparison says, a line each, for the Check screen. */
  List<String> told(Earlier result, Pass pass) {
    PassComparison compared = result.compared();
    List<String> told = new ArrayList<>();
    told.add(
        "pass "
            + number
            + " against pass "
            + (number - 1)
            + ", line held at "
            + level(compared.earlier().lineLevel())
            + " "
            + pass.settings().mode().unit()
            + "; average peak "
            + level(compared.earlier().averagePeak())
            + " then, "
            + level(compared.averagePeakNow())
            + " now");
    long shift = compared.shiftFrames();
    if (shift != 0) {
      told.add(
          "all stems are "
              + Figures.count(Math.abs(shift), "sample")
              + (shift > 0 ? " later" : " earlier")
              + " than in pass "
              + (number - 1)
              + "; marks and notes moved along");
    }
    told.addAll(
        new Since(compared, List.of(), Map.of())
            .stemLines((about, what) -> "stems, " + about + ": " + what));
    return told;
  }

  private static String level(double level) {
    return Figures.fixed(Decibels.ofAmplitude(level), 2);
  }
}
