package cairn.tui.effect;

import cairn.collisions.Session;
import cairn.collisions.check.Finding;
import cairn.collisions.check.Likeness;
import cairn.collisions.check.StemAudit;
import cairn.collisions.check.StemFindings;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import cairn.io.sound.SoundFormat;
import cairn.io.stems.FileFindings;
import cairn.io.stems.StemFile;
import cairn.io.stems.StemFiles;
import cairn.io.stems.StemSet;
import cairn.io.stems.Survey;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * Whether stems are fit to be analysed: files, levels, and what they have in common.
 *
 * @param findings in no order
 * @param sound the stems that can be read to their end
 * @param audits one for each of them
 * @param likeness what they have in common; empty: there is no such stem
 */
public record StemCheck(
    List<Finding> findings,
    List<StemFile> sound,
    List<StemAudit> audits,
    Optional<Likeness> likeness) {

  public StemCheck {
    findings = List.copyOf(findings);
    sound = List.copyOf(sound);
    audits = List.copyOf(audits);
  }

  /**
   * Reads all stems twice.
   *
   * @throws java.util.concurrent.CancellationException if {@code progress} said so
   */
  public static StemCheck of(Survey survey, Crew crew, Progress progress) throws IOException {
    List<Finding> findings = new ArrayList<>(FileFindings.of(survey));
    Optional<StemSet> set = survey.toSet();
    List<StemFile> sound = new ArrayList<>();
    List<StemAudit> audits = new ArrayList<>();
    if (set.isPresent()) {
      int rate = set.get().sampleRateHz();
      try (StemFiles files = set.get().open()) {
        List<StemAudit.Outcome> outcomes =
            StemAudit.ofAll(set.get().toSession(), files, quanta(set.get()), crew, progress);
        for (int k = 0; k < outcomes.size(); k++) {
          StemFile stem = set.get().stems().get(k);
          StemAudit.Outcome outcome = outcomes.get(k);
          outcome.failure().ifPresent(e -> findings.add(FileFindings.unreadable(e)));
          if (outcome.audit().isPresent()) {
            findings.addAll(StemFindings.of(stem.name(), outcome.audit().get(), rate));
            sound.add(stem);
            audits.add(outcome.audit().get());
          }
        }
      }
    }
    Optional<StemSet> readable = survey.set(sound);
    Optional<Likeness> likeness = Optional.empty();
    if (readable.isPresent()) {
      Session session = readable.get().toSession();
      try (StemFiles files = readable.get().open()) {
        likeness = Optional.of(Likeness.of(session, files, crew, progress));
        findings.addAll(StemFindings.of(session, likeness.get()));
      }
    }
    return new StemCheck(findings, sound, audits, likeness);
  }

  private static double[] quanta(StemSet set) {
    return set.stems().stream()
        .mapToDouble(
            stem ->
                stem.format().kind() == SoundFormat.Kind.FLOAT
                    ? 0
                    : Math.scalb(2.0, -stem.format().bits()))
        .toArray();
  }
}
