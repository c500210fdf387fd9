package cairn.io.stems;

import cairn.io.files.SafeText;
import cairn.io.sound.BroadcastInfo;
import cairn.io.sound.SoundFormat;
import java.util.Optional;

/**
 * A sound file whose headers were read.
 *
 * @param found where it is
 * @param format what it holds
 * @param broadcast its {@code bext} chunk
 */
record Probed(FolderWalk.Found found, SoundFormat format, Optional<BroadcastInfo> broadcast) {

  /** The file name as the system gave it. */
  String name() {
    return found.path().getFileName().toString();
  }

  /** The file name before its last full stop; of {@code .wav} all of it. */
  String nameWithoutEnding() {
    return withoutEnding(name());
  }

  /** The path in the folder, safe to show. */
  String shown() {
    return SafeText.of(found.relative());
  }

  /** The same without the ending. */
  String shownWithoutEnding() {
    String relative = found.relative();
    int nameAt = relative.length() - name().length();
    return SafeText.of(relative.substring(0, nameAt) + nameWithoutEnding());
  }

  /** The sub-folder of the first level, safe to show. */
  Optional<String> group() {
    int slash = found.relative().indexOf('/');
    return slash < 0
        ? Optional.empty()
        : Optional.of(SafeText.of(found.relative().substring(0, slash)));
  }

  private static String withoutEnding(String name) {
    int dot = name.lastIndexOf('.');
    return dot <= 0 ? name : name.substring(0, dot);
  }
}
