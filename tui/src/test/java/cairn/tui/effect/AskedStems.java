package cairn.tui.effect;

import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.time.TempoMap;
import cairn.io.files.XdgFolders;
import cairn.io.stems.ScanOptions;
import cairn.io.stems.StemFolder;
import cairn.io.stems.StemSet;
import cairn.io.stems.Survey;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;

/** A command line that names a folder of stems and nothing else, of a user without folders. */
class AskedStems implements Stems {

  private final Path folder;

  AskedStems(Path folder) {
    this.folder = folder;
  }

  @Override
  public StemSet scan() throws IOException {
    return scan(folder);
  }

  @Override
  public StemSet scan(Path stems) throws IOException {
    return StemFolder.scan(List.of(stems), ScanOptions.DEFAULT);
  }

  @Override
  public Survey survey() throws IOException {
    return StemFolder.survey(List.of(folder), ScanOptions.DEFAULT);
  }

  @Override
  public XdgFolders folders() {
    return XdgFolders.NONE;
  }

  @Override
  public Session session(StemSet set) {
    return set.toSession();
  }

  @Override
  public Settings settings(Session session, PeakMode unlessAsked) {
    return Settings.DEFAULT;
  }

  @Override
  public Optional<PeakMode> mode() {
    return Optional.empty();
  }

  @Override
  public boolean asksForSettings() {
    return false;
  }

  @Override
  public boolean asksForFaders() {
    return false;
  }

  @Override
  public Optional<TempoMap> tempo() {
    return Optional.empty();
  }

  @Override
  public Optional<Path> sessionFile() {
    return Optional.empty();
  }

  @Override
  public int threads() {
    return 1;
  }
}
