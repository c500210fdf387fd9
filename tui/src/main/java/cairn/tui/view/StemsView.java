package cairn.tui.view;

import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.StemFigures;
import cairn.collisions.loudness.Loudness;
import cairn.collisions.loudness.LoudnessSummary;
import cairn.collisions.plan.SharedSound;
import cairn.collisions.plan.StemMove;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.io.listing.StemMoves;
import cairn.tui.model.Model;
import cairn.tui.model.Screen;
import cairn.tui.model.Song;
import cairn.tui.model.StemLoudness;
import cairn.tui.model.StemSettings;
import cairn.tui.update.RowCounts;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;

/** The stems: their levels, what they do to the bus, and how they go into it. */
final class StemsView {

  private static final int FIRST_ROW = 3;
  private static final int LEAST_NAME = 13;

  /** Rows under the table: three of what one setting would do, message and keys. */
  private static final int ROWS_BELOW = 5;

  /** From so many columns on each stem's row says what one setting would do. */
  private static final int ROOM_FOR_SETTINGS = 160;

  private static final int STATE_CELLS = 28;

  private static final int FADER_END = 45;
  private static final int LETTERS = 47;
  private static final int OFFSET_END = 65;

  private StemsView() {}

  static void draw(Sheet sheet) {
    Model model = sheet.model();
    if (model.song().isEmpty()) {
      Pictures.title(sheet, Screen.STEMS, "");
      return;
    }
    Song song = model.song().get();
    Pictures.title(sheet, Screen.STEMS, HeadView.loudness(song.pass()));
    int name = Math.min(48, LEAST_NAME + Math.max(0, sheet.columns() - 80) / 4);
    int at = 2 + name;
    heading(sheet, at, name);
    long[] marks = new long[song.stems().size()];
    model.deeds().marks().fixes().forEach(mark -> marks[mark.fix().stem()]++);
    StemLoudness loudness = loudness(model, song.pass());
    List<Integer> shown = RowCounts.shownStems(model);
    Scrolled.draw(
        sheet,
        FIRST_ROW,
        sheet.rows() - FIRST_ROW - ROWS_BELOW,
        shown.size(),
        shown.indexOf(model.selectedRow()),
        (row, index, style) -> {
          int k = shown.get(index);
          sheet.canvas().put(row, 2, sheet.names().fit(k, name), style);
          figures(sheet, song.pass(), loudness, row, at, k, style);
          fader(sheet, song, row, at, k, style);
          if (sheet.columns() >= Layout.WIDE_COLUMNS) {
            sheet.canvas().putRight(row, at + OFFSET_END + 7, String.valueOf(marks[k]), style);
            sheet.sentence(
                row,
                at + OFFSET_END + 9,
                state(model, song, k),
                hasSettings(sheet) ? STATE_CELLS : sheet.columns() - at - OFFSET_END - 9,
                Style.MARKED);
          }
          if (hasSettings(sheet)) {
            int column = at + OFFSET_END + 10 + STATE_CELLS;
            sheet.sentence(row, column, setting(sheet, song, k), sheet.columns() - column, style);
          }
        });
    below(sheet, song, sheet.rows() - ROWS_BELOW);
  }

  /** That of the stems, where the pass holds it or it was measured since. */
  private static StemLoudness loudness(Model model, Pass pass) {
    boolean isInPass = pass.loudness().map(l -> l.stems() == pass.stems().size()).orElse(false);
    return isInPass
        ? new StemLoudness(true, pass.loudness())
        : model.stemLoudness().orElse(StemLoudness.PENDING);
  }

  private static boolean hasSettings(Sheet sheet) {
    return sheet.columns() >= ROOM_FOR_SETTINGS;
  }

  /** What the most useful setting of a stem would do: cleared of all, new ones, and the peak. */
  private static String setting(Sheet sheet, Song song, int k) {
    return sheet
        .model()
        .stemSettings()
        .filter(StemSettings::isThere)
        .map(
            found ->
                helping(song, found, k).stream()
                    .findFirst()
                    .map(move -> words(song, move))
                    .orElse(""))
        .orElse(sheet.glyphs().ellipsis());
  }

  private static List<StemMove> helping(Song song, StemSettings settings, int k) {
    return settings.helping(k, song.pass().session().yokes(), song.pass().moments().size());
  }

  private static String words(Song song, StemMove move) {
    return shortly(song, move)
        + ": "
        + move.cleared()
        + " of "
        + song.pass().moments().size()
        + " cleared"
        + (move.fresh() > 0 ? ", " + move.fresh() + " new" : "")
        + ", peak "
        + Words.level(move.peakAfter());
  }

  /** Without the number of samples. */
  private static String shortly(Song song, StemMove move) {
    return StemMoves.words(move.setting(), song.sampleRateHz()).replaceFirst(" \\([^)]*\\)", "");
  }

  /** The most useful setting of all with its price; empty: not there yet, or none helps. */
  static String first(Sheet sheet, Song song) {
    return sheet
        .model()
        .stemSettings()
        .flatMap(found -> found.mostUseful(song.pass().moments().size()))
        .map(
            move ->
                move.setting().moved(song.pass().session().yokes()).stream()
                        .map(sheet.names()::whole)
                        .collect(Collectors.joining(" with "))
                    + " "
                    + words(song, move)
                    + price(sheet, song, move))
        .orElse("");
  }

  private static String price(Sheet sheet, Song song, StemMove move) {
    String care =
        StemMoves.care(
            move,
            song.sampleRateHz(),
            sheet.model().stemSettings().map(StemSettings::shared).orElse(List.of()),
            sheet.names()::whole);
    return care.isEmpty() ? "" : "; " + care;
  }

  /** The most useful setting of all, that of the selected stem with its price, and others of it. */
  private static void below(Sheet sheet, Song song, int row) {
    int k = sheet.model().selectedRow();
    if (k >= song.stems().size() || sheet.model().stemSettings().isEmpty()) {
      return;
    }
    StemSettings settings = sheet.model().stemSettings().get();
    List<StemMove> helping = helping(song, settings, k);
    String first = first(sheet, song);
    String own =
        !settings.isThere()
            ? sheet.glyphs().ellipsis()
            : !settings.failure().isEmpty()
                ? settings.failure()
                : sheet.model().deeds().leftAlone().contains(k)
                    ? "left alone"
                    : helping.isEmpty()
                        ? "no setting leaves fewer moments"
                        : words(song, helping.get(0)) + price(sheet, song, helping.get(0));
    List<Integer> same = SharedSound.with(settings.shared(), k);
    String others =
        helping.stream()
            .skip(1)
            .map(move -> shortly(song, move) + ": " + move.cleared())
            .collect(Collectors.joining("; "));
    String last =
        !same.isEmpty()
            ? "same sound   "
                + same.stream().map(sheet.names()::whole).collect(Collectors.joining(", "))
                + "; y yokes them, so that they move as one"
            : others.isEmpty() ? "" : "or           " + others;
    int columns = sheet.columns() - 2;
    sheet.sentence(row, 2, first.isEmpty() ? "" : "most useful  " + first, columns, Style.PLAIN);
    sheet.sentence(row + 1, 2, "whole song   " + own, columns, Style.PLAIN);
    sheet.sentence(row + 2, 2, last, columns, Style.PLAIN);
  }

  private static void heading(Sheet sheet, int at, int name) {
    Canvas canvas = sheet.canvas();
    int row = FIRST_ROW - 1;
    String narrowed = SafeText.of(sheet.model().stemsNarrowed());
    sheet.cut(row, 2, narrowed.isEmpty() ? "stem" : "/" + narrowed, name, Style.PLAIN);
    canvas.putRight(row, at + 7, "peak");
    canvas.putRight(row, at + 15, "average");
    canvas.putRight(row, at + 21, "crest");
    canvas.putRight(row, at + 27, "LUFS");
    canvas.putRight(row, at + 33, "leads");
    canvas.putRight(row, at + 39, "alone");
    canvas.putRight(row, at + FADER_END, "fader");
    canvas.put(row, at + LETTERS, "mspfy");
    canvas.putRight(row, at + OFFSET_END, "offset ms");
    if (sheet.columns() >= Layout.WIDE_COLUMNS) {
      canvas.putRight(row, at + OFFSET_END + 7, "marks");
    }
    if (hasSettings(sheet)) {
      canvas.put(row, at + OFFSET_END + 10 + STATE_CELLS, "one setting for the whole song");
    }
  }

  private static void figures(
      Sheet sheet, Pass pass, StemLoudness loudness, int row, int at, int k, Style style) {
    StemFigures figures = pass.stems().get(k);
    Canvas canvas = sheet.canvas();
    canvas.putRight(row, at + 7, Words.level(figures.peak()), style);
    canvas.putRight(row, at + 15, Words.level(figures.averagePeak().orElse(0)), style);
    if (!loudness.isThere()) {
      canvas.putRight(row, at + 21, sheet.glyphs().ellipsis(), style);
      canvas.putRight(row, at + 27, sheet.glyphs().ellipsis(), style);
    } else if (loudness.found().isPresent() && figures.peak() > 0) {
      LoudnessSummary found = loudness.found().get();
      canvas.putRight(row, at + 21, Figures.fixed(found.stemCrestDb(k, figures.peak()), 1), style);
      Loudness.of(found.stem(k))
          .integratedLufs()
          .ifPresent(lufs -> canvas.putRight(row, at + 27, Figures.fixed(lufs, 1), style));
    }
    canvas.putRight(row, at + 33, String.valueOf(figures.moments()), style);
    canvas.putRight(row, at + 39, String.valueOf(figures.loneMoments()), style);
  }

  /** How a stem goes into the bus; each state has the letter of its key, {@code *}: not summed. */
  private static void fader(Sheet sheet, Song song, int row, int at, int k, Style style) {
    Model model = sheet.model();
    Fader fader = fader(model, k);
    Canvas canvas = sheet.canvas();
    canvas.putRight(row, at + FADER_END, Figures.signed(fader.gainDb(), 1), style);
    if (isChanged(model, song, k)) {
      canvas.put(row, at + FADER_END, "*", Style.OVER);
    }
    canvas.put(row, at + LETTERS, fader.muted() ? "m" : " ", Style.MARKED);
    canvas.put(row, at + LETTERS + 1, fader.soloed() ? "s" : " ", Style.MARKED);
    canvas.put(row, at + LETTERS + 2, fader.reversed() ? "p" : " ", Style.MARKED);
    canvas.put(
        row, at + LETTERS + 3, model.deeds().leftAlone().contains(k) ? "f" : " ", Style.MARKED);
    canvas.put(
        row, at + LETTERS + 4, song.pass().session().yokes().isYoked(k) ? "y" : " ", Style.MARKED);
    if (fader.offset() != 0) {
      canvas.putRight(
          row,
          at + OFFSET_END,
          Words.offset(Math.abs(fader.offset()), song.sampleRateHz())
              + (fader.offset() > 0 ? " later" : " earlier"),
          style);
    }
  }

  private static Fader fader(Model model, int k) {
    return k < model.faders().size() ? model.faders().get(k) : Fader.UNITY;
  }

  private static boolean isChanged(Model model, Song song, int k) {
    return !fader(model, k).equals(song.pass().session().faders().get(k));
  }

  /** The letters of a stem in words. */
  private static String state(Model model, Song song, int k) {
    Fader fader = fader(model, k);
    List<String> words = new ArrayList<>();
    if (fader.muted()) {
      words.add("muted");
    }
    if (fader.soloed()) {
      words.add("soloed");
    }
    if (fader.reversed()) {
      words.add("polarity reversed");
    }
    if (model.deeds().leftAlone().contains(k)) {
      words.add("left alone");
    }
    List<Integer> yoked = song.pass().session().yokes().othersOf(k);
    if (!yoked.isEmpty()) {
      words.add(
          "moves with " + yoked.stream().map(song.stems()::get).collect(Collectors.joining(", ")));
    }
    if (isChanged(model, song, k)) {
      words.add("not summed yet");
    }
    return String.join(", ", words);
  }

  /** The selected stem with its whole name: one sentence. */
  static String standing(Sheet sheet) {
    Model model = sheet.model();
    int k = model.selectedRow();
    if (model.song().isEmpty() || k >= model.song().get().stems().size()) {
      return "";
    }
    Song song = model.song().get();
    String state = state(model, song, k);
    return song.files().get(k)
        + (state.isEmpty() ? "" : ": " + state)
        + (model.isToSumAgain() ? "; Enter sums again" : "");
  }
}
