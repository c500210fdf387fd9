package cairn.io.listing;

import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.StemFigures;
import cairn.collisions.fix.Attempt;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Proposals;
import cairn.collisions.line.WindowGrid;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.MomentFixes;
import cairn.collisions.plan.PassComparison;
import cairn.collisions.plan.PassComparison.Fate;
import cairn.collisions.plan.PassComparison.Fresh;
import cairn.collisions.plan.PassComparison.State;
import cairn.io.files.SafeText;
import cairn.io.stems.StemFile;
import com.fasterxml.jackson.core.JsonGenerator;
import java.io.IOException;
import java.io.Writer;
import java.util.Locale;
import java.util.Optional;

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
    json.writeStringField("mode", "sample-peak");
    json.writeStringField("baseline", pass.settings().baseline().name().toLowerCase(Locale.ROOT));
    json.writeArrayFieldStart("loudPart");
    json.writeNumber(pass.line().loudPart().firstFrame());
    json.writeNumber(pass.line().loudPart().endFrame());
    json.writeEndArray();
    json.writeArrayFieldStart("stems");
    for (int k = 0; k < session.stems().size(); k++) {
      writeStem(k);
    }
    json.writeEndArray();
    json.writeEndObject();
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
    level("peakDb", figures.peak());
    level("averagePeakDb", figures.averagePeak().orElse(0));
    json.writeNumberField("moments", figures.moments());
    json.writeNumberField("loneMoments", figures.loneMoments());
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
    json.writeEndObject();
  }

  private void writeMoment(Moment moment) throws IOException {
    json.writeStartObject();
    json.writeNumberField("rank", moment.rank());
    json.writeStringField("kind", Listing.kind(moment));
    json.writeNumberField("frame", moment.peakFrame());
    number("seconds", (double) moment.peakFrame() / pass.session().sampleRateHz(), 6);
    if (listing.tempo().isPresent()) {
      json.writeStringField(
          "barsBeats",
          listing.tempo().get().barsBeats(moment.peakFrame(), pass.session().sampleRateHz()));
    }
    json.writeNumberField("channel", moment.channel());
    level("levelDb", moment.peak());
    number("excessDb", moment.excessDb(), 4);
    json.writeNumberField("firstOver", moment.firstOver());
    json.writeNumberField("lastOver", moment.lastOver());
    json.writeNumberField("overFrames", moment.overFrames());
    json.writeNumberField("longestRun", moment.longestRun());
    json.writeNumberField("depth", moment.depth());
    json.writeBooleanField("long", moment.isLong());
    json.writeNumberField("alikeTo", moment.alikeTo());
    json.writeNumberField("alike", moment.alike());
    json.writeArrayFieldStart("contributions");
    for (Contribution contribution : moment.contributions()) {
      json.writeStartObject();
      json.writeStringField("stem", listing.name(contribution.stem()));
      number("amplitude", contribution.amplitude(), 9);
      number("share", contribution.share(), 6);
      number("aboveOwnAverageDb", listing.aboveOwnAverageDb(contribution), 4);
      level("peakWithoutDb", contribution.peakWithout());
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
      writeAttempt("nudge", proposals.nudge());
      writeAttempt("trim", proposals.trim());
      writeAttempt("clip", proposals.clip());
      json.writeEndObject();
    }
    json.writeEndArray();
  }

  private void writeAttempt(String name, Optional<Attempt> attempt) throws IOException {
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
    json.writeEndObject();
  }

  private void level(String name, double level) throws IOException {
    Json.level(json, name, level);
  }

  private void number(String name, double number, int decimals) throws IOException {
    Json.number(json, name, number, decimals);
  }
}
