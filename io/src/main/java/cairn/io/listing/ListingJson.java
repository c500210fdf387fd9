package cairn.io.listing;

import cairn.collisions.Decibels;
import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.StemFigures;
import cairn.collisions.fix.Attempt;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Proposals;
import cairn.collisions.line.WindowGrid;
import cairn.collisions.loudness.LimiterWork;
import cairn.collisions.loudness.Loudness;
import cairn.collisions.loudness.LoudnessSummary;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.MomentFixes;
import cairn.collisions.plan.PassComparison;
import cairn.collisions.plan.PassComparison.Fate;
import cairn.collisions.plan.PassComparison.Fresh;
import cairn.collisions.plan.PassComparison.State;
import cairn.collisions.spectrum.LeadingBands;
import cairn.collisions.spectrum.ThirdOctaves;
import cairn.collisions.time.TempoMap;
import cairn.io.files.SafeText;
import cairn.io.stems.StemFile;
import com.fasterxml.jackson.core.JsonGenerator;
import java.io.IOException;
import java.io.Writer;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;

/** The list as JSON, schema {@code cairn-list/1}; written as it goes, never held as a whole. */
public final class ListingJson {

  private final Listing listing;
  private final Pass pass;
  private final JsonGenerator json;

  private ListingJson(Listing listing, JsonGenerator json) {
    this.listing = listing;
    this.json = json;
    pass = listing.pass();
  }

  /** Writes the list, a line feed after it, and leaves the writer open. */
  public static void write(Listing listing, Writer out) throws IOException {
    try (JsonGenerator json = Json.generator(out)) {
      new ListingJson(listing, json).write();
    }
    out.write('\n');
  }

  private void write() throws IOException {
    json.writeStartObject();
    json.writeStringField("schema", "cairn-list/1");
    writeSession();
    writeBus();
    if (pass.limiter().isPresent()) {
      writeGoal(json, pass);
      json.writeEndObject();
    }
    json.writeArrayFieldStart("moments");
    for (Moment moment : listing.moments()) {
      writeMoment(moment);
    }
    json.writeEndArray();
    if (listing.since().isPresent()) {
      writeSince(listing.since().get().comparison());
    }
    json.writeEndObject();
  }

  /**
   * Each earlier moment with its frame and level in the earlier pass, by rank, then each new one
   * with those of this pass.
   */
  private void writeSince(PassComparison comparison) throws IOException {
    json.writeObjectFieldStart("since");
    json.writeNumberField("shiftFrames", comparison.shiftFrames());
    level("averagePeakDb", comparison.earlier().averagePeak());
    json.writeArrayFieldStart("moments");
    for (Fate fate : comparison.fates()) {
      json.writeStartObject();
      json.writeNumberField("frame", fate.moment().peakFrame());
      level("levelDb", fate.moment().peak());
      json.writeStringField("state", Since.code(fate.state()));
      number("toldDb", fate.toldDb().orElse(Double.NaN), 4);
      number("gotDb", fate.gotDb(), 4);
      json.writeEndObject();
    }
    for (Fresh moment : comparison.fresh()) {
      json.writeStartObject();
      json.writeNumberField("frame", moment.peakFrame());
      level("levelDb", moment.peak());
      json.writeStringField("state", Since.code(State.NEW));
      json.writeNullField("toldDb");
      json.writeNullField("gotDb");
      json.writeEndObject();
    }
    json.writeEndArray();
    json.writeEndObject();
  }

  private void writeSession() throws IOException {
    Session session = pass.session();
    json.writeObjectFieldStart("session");
    json.writeStringField("folder", SafeText.of(listing.stems().folder()));
    json.writeNumberField("sampleRate", session.sampleRateHz());
    json.writeNumberField("frames", session.frames());
    json.writeStringField("mode", mode(pass.settings().mode()));
    json.writeStringField("baseline", pass.settings().baseline().name().toLowerCase(Locale.ROOT));
    json.writeArrayFieldStart("loudPart");
    json.writeNumber(pass.line().loudPart().firstFrame());
    json.writeNumber(pass.line().loudPart().endFrame());
    json.writeEndArray();
    if (listing.tempo().filter(TempoMap::isEstimate).isPresent()) {
      number("tempoEstimate", listing.tempo().get().quartersPerMinute(), 2);
    }
    json.writeArrayFieldStart("stems");
    for (int k = 0; k < session.stems().size(); k++) {
      writeStem(k);
    }
    json.writeEndArray();
    json.writeEndObject();
  }

  private boolean isTruePeak() {
    return pass.settings().mode() == PeakMode.TRUE_PEAK;
  }

  static String mode(PeakMode mode) {
    return mode == PeakMode.TRUE_PEAK ? "true-peak" : "sample-peak";
  }

  private void writeStem(int k) throws IOException {
    StemFile file = listing.stems().stems().get(k);
    Fader fader = pass.session().faders().get(k);
    StemFigures figures = pass.stems().get(k);
    json.writeStartObject();
    json.writeStringField("name", file.name());
    json.writeStringField("file", file.relativePath());
    json.writeNumberField("channels", file.channels());
    json.writeNumberField("frames", file.frames());
    json.writeStringField("format", file.format().coding());
    number("gainDb", fader.gainDb(), 4);
    json.writeNumberField("polarity", fader.polarity());
    json.writeBooleanField("muted", fader.muted());
    json.writeBooleanField("soloed", fader.soloed());
    json.writeNumberField("offset", fader.offset());
    json.writeBooleanField("leftAlone", listing.leftAlone().contains(k));
    json.writeArrayFieldStart("yokedWith");
    for (int other : pass.session().yokes().othersOf(k)) {
      json.writeString(listing.name(other));
    }
    json.writeEndArray();
    level("peakDb", figures.peak());
    level("averagePeakDb", figures.averagePeak().orElse(0));
    json.writeNumberField("moments", figures.moments());
    json.writeNumberField("loneMoments", figures.loneMoments());
    if (pass.loudness().map(LoudnessSummary::stems).orElse(0) > 0) {
      LoudnessSummary loudness = pass.loudness().get();
      lufs("integratedLufs", Loudness.of(loudness.stem(k)).integratedLufs());
      level("truePeakDb", loudness.stemTruePeak(k));
      number("crestDb", loudness.stemCrestDb(k, figures.peak()), 4);
    }
    json.writeEndObject();
  }

  private void writeBus() throws IOException {
    WindowGrid grid = pass.summary().grid();
    json.writeObjectFieldStart("bus");
    level("peakDb", pass.peak());
    json.writeNumberField("peakFrame", pass.summary().peakFrame());
    level("averagePeakDb", pass.line().averagePeak().overall());
    if (pass.line().isLevel()) {
      level("lineDb", pass.line().level(0));
    } else {
      // The line moves with the song.
      json.writeNullField("lineDb");
    }
    if (pass.settings().beatWindows().isPresent()) {
      json.writeNullField("windowFrames");
    } else {
      json.writeNumberField(
          "windowFrames", WindowGrid.halfSecondFrames(pass.session().sampleRateHz()));
    }
    json.writeNumberField("windows", grid.windows());
    if (pass.loudness().isPresent()) {
      writeLoudness(pass.loudness().get());
    }
    json.writeEndObject();
  }

  private void writeLoudness(LoudnessSummary loudness) throws IOException {
    Loudness whole = Loudness.of(loudness.bus());
    lufs("integratedLufs", whole.integratedLufs());
    lufs("loudPartLufs", Loudness.of(loudness.bus(), pass.line().loudPart()).integratedLufs());
    lufs("maxShortTermLufs", whole.maxShortTermLufs());
    lufs("maxMomentaryLufs", whole.maxMomentaryLufs());
    lufs("loudnessRangeLu", whole.rangeLu());
    level("truePeakDb", loudness.busTruePeak());
    number(
        "peakToLoudnessDb",
        Decibels.ofAmplitude(pass.peak()) - whole.integratedLufs().orElse(Double.NaN),
        4);
    number("crestDb", loudness.busCrestDb(pass.peak()), 4);
  }

  /** Null where it is not measurable. */
  private void lufs(String name, OptionalDouble lufs) throws IOException {
    number(name, lufs.orElse(Double.NaN), 4);
  }

  /** Writes the goal, and leaves its object open. */
  static void writeGoal(JsonGenerator json, Pass pass) throws IOException {
    LimiterWork work = pass.limiter().orElseThrow();
    json.writeObjectFieldStart("goal");
    Json.number(json, "targetLufs", work.goal().targetLufs(), 4);
    Json.number(json, "ceilingDb", work.goal().ceilingDb(), 4);
    json.writeStringField("ceilingUnit", work.goal().ceilingMode().unit());
    Json.number(json, "allowanceDb", work.goal().allowanceDb(), 4);
    Json.number(json, "neededGainDb", work.neededGainDb(), 4);
    Json.number(json, "goalLineDb", work.goalLineDb(), 4);
    Json.number(json, "limiterDb", work.dbAt(pass.peak()), 4);
  }

  private void writeBands(LeadingBands bands, int moment, int place) throws IOException {
    double[] powers = bands.powers(moment, place);
    int count = ThirdOctaves.countAt(pass.session().sampleRateHz());
    json.writeArrayFieldStart("bands");
    for (int band = 0; band < count; band++) {
      json.writeStartObject();
      number("nominalHz", ThirdOctaves.nominalHz(band), 1);
      number("db", 10 * Math.log10(powers[band]), 4);
      json.writeEndObject();
    }
    json.writeEndArray();
    int strongest = bands.strongest(moment, place);
    number("strongestHz", strongest < 0 ? Double.NaN : ThirdOctaves.nominalHz(strongest), 1);
  }

  private void writeMoment(Moment moment) throws IOException {
    json.writeStartObject();
    json.writeNumberField("rank", moment.rank());
    json.writeStringField("kind", Listing.kind(moment));
    json.writeNumberField("frame", moment.peakFrame());
    if (isTruePeak()) {
      number("instant", moment.instant(), 3);
    }
    number("seconds", moment.seconds(pass.session().sampleRateHz()), 6);
    if (listing.tempo().isPresent()) {
      json.writeStringField(
          "barsBeats",
          listing.tempo().get().barsBeats(moment.peakFrame(), pass.session().sampleRateHz()));
    }
    json.writeNumberField("channel", moment.channel());
    level("levelDb", moment.peak());
    number("excessDb", moment.excessDb(), 4);
    if (pass.limiter().isPresent()) {
      number("limiterDb", pass.limiter().get().dbAt(moment.peak()), 4);
    }
    json.writeNumberField("firstOver", moment.firstOver());
    json.writeNumberField("lastOver", moment.lastOver());
    json.writeNumberField("overFrames", moment.overFrames());
    json.writeNumberField("longestRun", moment.longestRun());
    json.writeNumberField("depth", moment.depth());
    json.writeBooleanField("long", moment.isLong());
    json.writeNumberField("alikeTo", moment.alikeTo());
    json.writeNumberField("alike", moment.alike());
    json.writeArrayFieldStart("contributions");
    int place = 0;
    for (Contribution contribution : moment.contributions()) {
      json.writeStartObject();
      json.writeStringField("stem", listing.name(contribution.stem()));
      number("amplitude", contribution.amplitude(), 9);
      number("share", contribution.share(), 6);
      number("aboveOwnAverageDb", listing.aboveOwnAverageDb(contribution), 4);
      level("peakWithoutDb", contribution.peakWithout());
      // Contributions come in falling order, so those that lead come first.
      if (listing.bands().isPresent() && contribution.leads()) {
        writeBands(listing.bands().get(), listing.placeOf(moment), place);
      }
      place++;
      json.writeEndObject();
    }
    json.writeEndArray();
    if (listing.fixes().isPresent()) {
      writeFixes(listing.fixesOf(moment));
    }
    json.writeEndObject();
  }

  private void writeFixes(MomentFixes fixes) throws IOException {
    json.writeArrayFieldStart("fixes");
    for (int i = 0; i < fixes.leading().size(); i++) {
      Proposals proposals = fixes.leading().get(i);
      json.writeStartObject();
      json.writeStringField("stem", listing.name(proposals.stem()));
      json.writeArrayFieldStart("hit");
      json.writeNumber(proposals.hit().startFrame());
      json.writeNumber(proposals.hit().endFrame());
      json.writeEndArray();
      json.writeBooleanField("sustained", proposals.hit().sustained());
      json.writeArrayFieldStart("combs");
      for (int k : fixes.combs().get(i)) {
        json.writeString(listing.name(k));
      }
      json.writeEndArray();
      writeAttempt("nudge", proposals.nudge(), fixes);
      writeAttempt("trim", proposals.trim(), fixes);
      writeAttempt("clip", proposals.clip(), fixes);
      json.writeEndObject();
    }
    json.writeEndArray();
  }

  private void writeAttempt(String name, Optional<Attempt> attempt, MomentFixes fixes)
      throws IOException {
    if (attempt.isEmpty()) {
      json.writeNullField(name);
      return;
    }
    Attempt made = attempt.get();
    json.writeObjectFieldStart(name);
    PlanJson.writeAmount(json, made.fix());
    if (made.fix() instanceof Clip) {
      json.writeNumberField("frames", made.change().clippedFrames());
      json.writeNumberField("longestLobe", made.change().longestLobeFrames());
    }
    if (!(made.fix() instanceof Nudge)) {
      json.writeNumberField("start", made.fix().startFrame());
      json.writeNumberField("end", made.fix().endFrame());
    }
    json.writeBooleanField("cleared", made.cleared());
    level("leftDb", made.leftLevel());
    number("toneCostDb", fixes.toneCostsDb().get(made.fix()), 4);
    json.writeEndObject();
  }

  private void level(String name, double level) throws IOException {
    Json.level(json, name, level);
  }

  private void number(String name, double number, int decimals) throws IOException {
    Json.number(json, name, number, decimals);
  }
}
