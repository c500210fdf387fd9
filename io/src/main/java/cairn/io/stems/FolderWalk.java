package cairn.io.stems;

import cairn.io.files.SafeText;
import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.Deque;
import java.util.HashMap;
import java.util.HashSet;
import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeSet;

/**
 * Finds the files that were named, or that lie in folders that were named, without opening one.
 *
 * <p>Hidden files, {@code ._*} twins, {@code __MACOSX} and cairn's own session file are passed over
 * in silence. Folders are walked by their real entries first; symbolic links follow, and only while
 * their target lies in a folder that was named. Each folder is walked once, so that no maze of
 * links takes longer than the folders themselves; each file is found once, by its real name where
 * it has one in the folder. What was named itself may be a link to anywhere.
 */
final class FolderWalk {

  /** As many links in a row the system follows, too: Linux, {@code path_resolution(7)}. */
  private static final int MOST_LINKS = 40;

  /**
   * A file that may be a stem.
   *
   * @param path where it was found: in a real folder, or through a link
   * @param real the same file without links
   * @param relative path from the common folder, {@code /} between names, as the system gave it
   * @param named whether it was named singly
   * @param linked whether a link led to it
   */
  record Found(Path path, Path real, String relative, boolean named, boolean linked) {

    /** Session order: code points of the relative path, then its bytes where they decode alike. */
    static final Comparator<Found> ORDER =
        Comparator.comparing(Found::relative, FolderWalk::compareCodePoints)
            .thenComparing(Found::path);
  }

  /**
   * What was found.
   *
   * @param folder the folder that everything lies in
   * @param files in session order
   * @param skipped what is neither a file nor a folder that may be entered
   */
  record Result(Path folder, List<Found> files, List<Skipped> skipped) {}

  /** A way from a folder into another one; {@code link} is null for a real entry. */
  private record Way(Path target, Path link) {}

  /** A folder on the way of the search for circles, the link that led to it, the ways left. */
  private record Visit(Path folder, Path link, Iterator<Way> rest) {}

  private record Link(Path path, Path target) {}

  /** Named folders by their real paths. */
  private final Set<Path> roots = new TreeSet<>();

  private final List<Path> namedFiles = new ArrayList<>();

  /** Ways out of each folder walked, by its real path. */
  private final Map<Path, List<Way>> ways = new HashMap<>();

  /** Links to folders that wait to be followed. */
  private final Deque<Link> links = new ArrayDeque<>();

  private final List<Found> candidates = new ArrayList<>();
  private final List<Skipped> skipped = new ArrayList<>();
  private final Path common;

  private FolderWalk(List<Path> inputs) throws IOException {
    for (Path input : inputs) {
      try {
        Path real = input.toRealPath();
        if (Files.isDirectory(real)) {
          roots.add(real);
        } else {
          Path whole = input.toAbsolutePath();
          namedFiles.add(whole.getParent().toRealPath().resolve(whole.getFileName()));
        }
      } catch (NoSuchFileException e) {
        throw new UnusableFolder.NotThere(input);
      } catch (IOException e) {
        if (goesRound(input.toAbsolutePath())) {
          throw new UnusableFolder.LinkLoop(
              input.toAbsolutePath().getParent(), SafeText.of(input.getFileName()));
        }
        throw new UnusableFolder.Unreadable(input, e);
      }
    }
    common = commonFolder();
  }

  /**
   * Walks what was named.
   *
   * @param inputs folders and files, at least one
   * @throws UnusableFolder if one is not there, may not be read, or holds a circle of links
   */
  static Result walk(List<Path> inputs) throws IOException {
    FolderWalk walk = new FolderWalk(inputs);
    for (Path root : walk.roots) {
      walk.enter(root, root, false);
    }
    while (!walk.links.isEmpty()) {
      Link link = walk.links.removeFirst();
      walk.enter(link.path(), link.target(), true);
    }
    walk.refuseCircles();
    for (Path file : walk.namedFiles) {
      walk.candidates.add(walk.found(file, file.toRealPath(), true, Files.isSymbolicLink(file)));
    }
    return new Result(walk.common, walk.onceEach(), walk.skippedOnceEach());
  }

  /** The deepest folder that all that was named lies in. */
  private Path commonFolder() {
    Path folder = null;
    List<Path> folders = new ArrayList<>(roots);
    namedFiles.forEach(file -> folders.add(file.getParent()));
    for (Path each : folders) {
      if (folder == null) {
        folder = each;
      }
      while (folder != null && !each.startsWith(folder)) {
        folder = folder.getParent();
      }
      if (folder == null) {
        return each; // another drive: paths there stay whole
      }
    }
    return folder;
  }

  /**
   * Walks a folder and all real folders in it, unless that was done before.
   *
   * @param shown the way by which it was reached
   * @param real the folder itself
   */
  private void enter(Path shown, Path real, boolean linked) throws IOException {
    if (ways.containsKey(real)) {
      return;
    }
    List<Way> out = new ArrayList<>();
    ways.put(real, out);
    for (Path entry : entries(shown, real)) {
      Path name = entry.getFileName();
      Path shownEntry = shown.resolve(name);
      BasicFileAttributes attributes;
      try {
        attributes =
            Files.readAttributes(entry, BasicFileAttributes.class, LinkOption.NOFOLLOW_LINKS);
      } catch (NoSuchFileException e) {
        continue; // gone since it was listed: as if it had never been there
      } catch (IOException e) {
        throw new UnusableFolder.Unreadable(shownEntry, e);
      }
      if (attributes.isSymbolicLink()) {
        follow(shownEntry, entry, out);
      } else if (attributes.isDirectory()) {
        out.add(new Way(entry, null));
        enter(shownEntry, entry, linked);
      } else if (attributes.isRegularFile()) {
        candidates.add(found(shownEntry, entry, false, linked));
      } else {
        skip(shownEntry, "a pipe, socket or device");
      }
    }
  }

  /** The entries that are looked at, in an order that does not depend on the system. */
  private static List<Path> entries(Path shown, Path real) throws IOException {
    List<Path> entries = new ArrayList<>();
    try (DirectoryStream<Path> stream = Files.newDirectoryStream(real)) {
      for (Path entry : stream) {
        if (!isPassedOver(entry)) {
          entries.add(entry);
        }
      }
    } catch (DirectoryIteratorException e) {
      throw new UnusableFolder.Unreadable(shown, e.getCause());
    } catch (IOException e) {
      throw new UnusableFolder.Unreadable(shown, e);
    }
    entries.sort(Comparator.naturalOrder());
    return entries;
  }

  private static boolean isPassedOver(Path entry) throws IOException {
    String name = entry.getFileName().toString();
    return name.startsWith(".")
        || name.equals("__MACOSX")
        || name.startsWith("cairn-session.json")
        || Files.isHidden(entry);
  }

  /** Takes the file that a link leads to, or notes the folder, or says why not. */
  private void follow(Path shown, Path link, List<Way> out) throws IOException {
    Path target;
    BasicFileAttributes attributes;
    try {
      target = link.toRealPath();
      attributes = Files.readAttributes(target, BasicFileAttributes.class);
    } catch (IOException e) {
      if (goesRound(link)) {
        throw new UnusableFolder.LinkLoop(common, shownIn(shown));
      }
      skip(
          shown,
          e instanceof NoSuchFileException
              ? "a link to nothing"
              : e instanceof AccessDeniedException
                  ? "a link that may not be followed"
                  : "a link that cannot be followed");
      return;
    }
    if (!isInside(target)) {
      skip(shown, "a link out of the folder");
    } else if (attributes.isDirectory()) {
      out.add(new Way(target, shown));
      links.add(new Link(shown, target));
    } else if (attributes.isRegularFile()) {
      candidates.add(found(shown, target, false, true));
    } else {
      skip(shown, "a link to a pipe, socket or device");
    }
  }

  private boolean isInside(Path target) {
    return roots.stream().anyMatch(target::startsWith);
  }

  /** Whether following the links of a path never ends, or takes more of them than are followed. */
  private static boolean goesRound(Path path) {
    Deque<Path> names = new ArrayDeque<>();
    path.forEach(names::add);
    Path at = path.getRoot();
    int followed = 0;
    while (!names.isEmpty()) {
      Path name = names.removeFirst();
      if (name.toString().equals("..")) {
        at = at.getParent() == null ? at : at.getParent();
        continue;
      }
      Path next = at.resolve(name);
      if (!Files.isSymbolicLink(next)) {
        at = next;
        continue;
      }
      followed++;
      if (followed > MOST_LINKS) {
        return true;
      }
      try {
        Path target = Files.readSymbolicLink(next);
        List<Path> before = new ArrayList<>();
        target.forEach(before::add);
        for (int i = before.size() - 1; i >= 0; i--) {
          names.addFirst(before.get(i));
        }
        at = target.isAbsolute() ? target.getRoot() : at;
      } catch (IOException e) {
        return false; // something else is wrong with it
      }
    }
    return false;
  }

  /**
   * A folder that can be reached from itself, through real entries and links, makes a circle. With
   * a stack of its own: a chain of links may be longer than the thread's stack is deep.
   */
  private void refuseCircles() throws IOException {
    Set<Path> done = new HashSet<>();
    for (Path root : roots) {
      Set<Path> onTheWay = new HashSet<>();
      Deque<Visit> visits = new ArrayDeque<>();
      if (done.add(root)) {
        onTheWay.add(root);
        visits.push(new Visit(root, null, ways.get(root).iterator()));
      }
      while (!visits.isEmpty()) {
        Visit visit = visits.getFirst();
        if (!visit.rest().hasNext()) {
          visits.pop();
          onTheWay.remove(visit.folder());
          continue;
        }
        Way way = visit.rest().next();
        if (onTheWay.contains(way.target())) {
          throw new UnusableFolder.LinkLoop(common, shownIn(lastLink(way, visits)));
        }
        if (done.add(way.target())) {
          onTheWay.add(way.target());
          visits.push(new Visit(way.target(), way.link(), ways.get(way.target()).iterator()));
        }
      }
    }
  }

  /** Real entries alone make no circle: at least one link lies on it, and it comes first here. */
  private static Path lastLink(Way closing, Deque<Visit> visits) {
    if (closing.link() != null) {
      return closing.link();
    }
    return visits.stream().map(Visit::link).filter(Objects::nonNull).findFirst().orElseThrow();
  }

  private Found found(Path shown, Path real, boolean named, boolean linked) {
    return new Found(shown, real, relative(shown), named, linked);
  }

  private String relative(Path path) {
    Path inFolder = path.startsWith(common) ? common.relativize(path) : path;
    StringBuilder relative = new StringBuilder();
    for (Path name : inFolder) {
      relative.append(relative.isEmpty() ? "" : "/").append(name);
    }
    return relative.toString();
  }

  private String shownIn(Path path) {
    return SafeText.of(relative(path));
  }

  private void skip(Path path, String reason) {
    skipped.add(new Skipped(path, shownIn(path), reason));
  }

  /** Each file once, by its real name rather than by a link's; named if any of its names was. */
  private List<Found> onceEach() {
    List<Found> sorted = new ArrayList<>(candidates);
    sorted.sort(Comparator.comparing(Found::linked).thenComparing(Found.ORDER));
    Map<Path, Found> byReal = new LinkedHashMap<>();
    for (Found found : sorted) {
      byReal.merge(
          found.real(),
          found,
          (a, b) ->
              new Found(a.path(), a.real(), a.relative(), a.named() || b.named(), a.linked()));
    }
    return byReal.values().stream().sorted(Found.ORDER).toList();
  }

  private List<Skipped> skippedOnceEach() {
    Map<Path, Skipped> byPath = new LinkedHashMap<>();
    skipped.forEach(each -> byPath.putIfAbsent(each.path(), each));
    return List.copyOf(byPath.values());
  }

  /** {@link String#compareTo} compares UTF-16 units, which puts astral characters too early. */
  static int compareCodePoints(String a, String b) {
    int i = 0;
    while (i < a.length() && i < b.length()) {
      int codePointA = a.codePointAt(i);
      int codePointB = b.codePointAt(i);
      if (codePointA != codePointB) {
        return Integer.compare(codePointA, codePointB);
      }
      i += Character.charCount(codePointA);
    }
    return Integer.compare(a.length(), b.length());
  }
}
