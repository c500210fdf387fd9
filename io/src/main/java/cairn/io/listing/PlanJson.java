package cairn.io.listing;

import cairn.collisions.Pass;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.plan.Ladder;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.OpenMoment;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.PlannedFix;
import cairn.collisions.plan.StemMove;
import cairn.io.stems.StemSet;
import com.fasterxml.jackson.core.JsonGenerator;
import java.io.IOException;
import java.io.Writer;
import java.util.Locale;
import java.util.Optional;

/** A plan as JSON, schema {@code cairn-plan/1}. */
public final class PlanJson {

  private PlanJson() {}

  /**
   * Writes the plan, a line feed after it, and leaves the writer open.
   *
   * @param setting the one setting of a stem for the whole song that would do the most
   */
  public static void write(
      Plan plan, Pass pass, StemSet stems, Optional<StemMove> setting, Writer out)
      throws IOException {
    try (JsonGenerator json = Json.generator(out)) {
      json.writeStartObject();
      json.writeStringField("schema", "cairn-plan/1");
      json.writeStringField("mode", ListingJson.mode(plan.line().mode()));
      if (plan.line().isLevel()) {
        Json.level(json, "lineDb", plan.line().level(0));
      } else {
        json.writeNullField("lineDb");
      }
      Json.level(json, "peakBeforeDb", plan.peakBefore());
      Json.level(json, "peakAfterDb", plan.peakAfter());
      Json.number(json, "wonDb", plan.wonDb(), 4);
      if (pass.limiter().isPresent()) {
        ListingJson.writeGoal(json, pass);
        Json.number(json, "limiterAfterDb", pass.limiter().get().dbAt(plan.peakAfter()), 4);
        json.writeEndObject();
      }
      json.writeNumberField("fixes", plan.fixes().size());
      json.writeNumberField("places", plan.places());
      json.writeNumberField("cleared", plan.cleared());
      json.writeNumberField("partlyCleared", plan.partlyCleared());
      json.writeNumberField("left", plan.left());
      Json.number(json, "alteredSeconds", plan.alteredSeconds(), 6);
      Json.number(json, "alteredShare", plan.alteredShare(), 9);
      writeLadder(json, plan.ladder());
      if (setting.isPresent()) {
        json.writeFieldName("wholeStem");
        int stem = setting.get().setting().stem();
        StemMoves.write(json, pass, setting.get(), stems.stems().get(stem).name());
      }
      json.writeArrayFieldStart("marks");
      for (PlannedFix fix : plan.fixes()) {
        writeFix(json, fix, stems);
      }
      json.writeEndArray();
      json.writeArrayFieldStart("open");
      for (OpenMoment open : plan.open()) {
        json.writeStartObject();
        json.writeNumberField("moment", open.momentFrame());
        Json.level(json, "levelDb", open.level());
        json.writeBooleanField("partlyCleared", open.partly());
        json.writeStringField("why", open.words());
        json.writeEndObject();
      }
      json.writeEndArray();
      json.writeEndObject();
    }
    out.write('\n');
  }

  private static void writeLadder(JsonGenerator json, Ladder ladder) throws IOException {
    json.writeArrayFieldStart("ladder");
    for (Ladder.Row row : ladder.rows()) {
      json.writeStartObject();
      Json.number(json, "headroomDb", row.headroomDb(), 4);
      json.writeNumberField("moments", row.moments());
      json.writeNumberField("fixes", row.fixes());
      json.writeEndObject();
    }
    json.writeEndArray();
  }

  private static void writeFix(JsonGenerator json, PlannedFix fix, StemSet stems)
      throws IOException {
    json.writeStartObject();
    json.writeStringField("stem", stems.stems().get(fix.stem()).name());
    json.writeStringField("kind", fix.fix().kind().name().toLowerCase(Locale.ROOT));
    writeAmount(json, fix.fix());
    json.writeArrayFieldStart("places");
    for (Mark.OfFix mark : fix.marks()) {
      json.writeStartObject();
      json.writeNumberField("moment", mark.momentFrame());
      json.writeNumberField("start", mark.fix().startFrame());
      json.writeNumberField("end", mark.fix().endFrame());
      json.writeEndObject();
    }
    json.writeEndArray();
    json.writeBooleanField("cleared", fix.cleared());
    Json.number(json, "toneCostDb", fix.toneCostDb(), 4);
    json.writeBooleanField("dear", fix.isDear());
    Json.level(json, "peakAfterDb", fix.peakAfter());
    if (fix.next().isPresent()) {
      PlannedFix.Next next = fix.next().get();
      json.writeObjectFieldStart("next");
      json.writeStringField("stem", stems.stems().get(next.fix().stem()).name());
      json.writeStringField("kind", next.fix().kind().name().toLowerCase(Locale.ROOT));
      writeAmount(json, next.fix());
      Json.number(json, "toneCostDb", next.toneCostDb(), 4);
      json.writeEndObject();
    }
    json.writeStringField("why", fix.why());
    json.writeEndObject();
  }

  /** The amount of a fix in the field that its kind has. */
  static void writeAmount(JsonGenerator json, Fix fix) throws IOException {
    if (fix instanceof Nudge nudge) {
      json.writeNumberField("frames", nudge.frames());
    } else if (fix instanceof Trim trim) {
      Json.number(json, "db", trim.db(), 1);
    } else {
      Json.number(json, "ceilingDb", ((Clip) fix).ceilingDb(), 1);
    }
  }
}
