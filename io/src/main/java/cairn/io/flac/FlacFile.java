package cairn.io.flac;

import cairn.io.sound.BroadcastInfo;
import cairn.io.sound.SoundFile;
import cairn.io.sound.SoundFormat;
import cairn.io.sound.SoundReader;
import cairn.io.sound.UnusableStem;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.FileTime;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/**
 * An open FLAC file; RFC 9639. Opening reads the metadata and the last frame, so that a file that
 * ends early is known at once. Each frame's checksums and number are checked when it is read; the
 * file's MD5 only by {@link #verifyMd5}.
 *
 * <p>Readers share one channel and read at places of their own, so they may be used side by side.
 */
public final class FlacFile implements SoundFile {

  private static final byte[] MARK = {'f', 'L', 'a', 'C'};

  private static final int ID3_HEADER_BYTES = 10;
  private static final int STREAMINFO = 0;
  private static final int APPLICATION = 2;
  private static final int SEEKTABLE = 3;
  private static final int INVALID = 127;

  /** Smallest block that a stream may state; RFC 9639, 8.2. */
  private static final int SMALLEST_BLOCK_FRAMES = 16;

  private static final int SMALLEST_BITS = 4;

  // EBU Tech 3285 v2: places inside a bext chunk, here after its id and size.
  private static final int BEXT_DESCRIPTION = 8;
  private static final int BEXT_DESCRIPTION_BYTES = 256;
  private static final int BEXT_TIME_REFERENCE = 8 + 338;

  /** First stretch at the file's end that is searched for the last frame. */
  private static final int TAIL_BYTES = 1 << 17;

  private final Path path;
  private final FileChannel channel;
  private final long byteCount;
  private final FileTime modified;
  private final StreamInfo info;
  private final SeekPoints seekPoints;
  private final BroadcastInfo broadcast;
  private final long audioOffset;
  private final boolean variable;

  /** Frames of a block where all but the last are alike; by it a frame's number becomes a time. */
  private final int blockFrames;

  private final SoundFormat format;
  private final List<String> mended = new ArrayList<>();

  /**
   * Whether a file that starts so is a FLAC file. A tag of another kind before the mark is looked
   * through as far as the bytes go; {@link #matches(Path)} has no such limit.
   *
   * @param head the first bytes of the file, four or more
   */
  public static boolean matches(byte[] head) {
    int at = (int) Math.min(tagBytes(head), head.length);
    return head.length - at >= MARK.length
        && Arrays.equals(head, at, at + MARK.length, MARK, 0, MARK.length);
  }

  /** Whether the file is a FLAC file, by its mark. */
  public static boolean matches(Path path) throws IOException {
    try (FileChannel channel = FileChannel.open(path, StandardOpenOption.READ)) {
      byte[] head = read(channel, 0, ID3_HEADER_BYTES);
      return matches(read(channel, tagBytes(head), MARK.length));
    }
  }

  /**
   * Opens a file and finds its length.
   *
   * @throws UnusableStem if it is no FLAC file, has more than two channels, or is damaged in its
   *     metadata, at its first or at its last frame
   */
  public static FlacFile open(Path path) throws IOException {
    FileChannel channel = FileChannel.open(path, StandardOpenOption.READ);
    try {
      return new FlacFile(path, channel);
    } catch (IOException | RuntimeException e) {
      channel.close();
      throw e;
    }
  }

  private FlacFile(Path path, FileChannel channel) throws IOException {
    this.path = path;
    this.channel = channel;
    this.byteCount = channel.size();
    this.modified = Files.getLastModifiedTime(path);

    long at = tagBytes(read(channel, 0, ID3_HEADER_BYTES));
    if (!matches(read(channel, at, MARK.length))) {
      throw new UnusableStem.NotSound(path, "is no FLAC file; leave it out");
    }
    if (at > 0) {
      mended.add("a tag of " + at + " bytes stands before the FLAC mark: passed over");
    }
    at += MARK.length;

    StreamInfo stream = null;
    byte[] seekTable = {};
    BroadcastInfo bext = null;
    boolean last = false;
    while (!last) {
      byte[] head = read(channel, at, 4);
      if (head.length < 4) {
        throw damagedHeader("ends inside its header");
      }
      last = head[0] < 0;
      int type = head[0] & 0x7F;
      int length = (int) StreamInfo.number(head, 1, 3);
      at += 4;
      if (type == INVALID || length > byteCount - at) {
        throw damagedHeader("has a metadata block that cannot be");
      }
      if ((stream == null) != (type == STREAMINFO)
          || (stream == null && length != StreamInfo.BYTES)) {
        throw damagedHeader("does not start with one STREAMINFO block");
      }
      if (type == STREAMINFO) {
        stream = checked(StreamInfo.of(read(channel, at, length)));
      } else if (type == SEEKTABLE && seekTable.length == 0) {
        seekTable = read(channel, at, Math.min(length, SeekPoints.MOST * SeekPoints.BYTES));
      } else if (type == APPLICATION && bext == null) {
        bext = broadcast(read(channel, at, Math.min(length, 4 + BEXT_TIME_REFERENCE + 8)));
      }
      at += length;
    }
    this.info = stream;
    this.broadcast = bext;
    this.audioOffset = at;
    this.seekPoints = SeekPoints.of(seekTable, at, byteCount);
    if (at == byteCount && stream.frames() == 0) {
      throw new UnusableStem.Empty(path);
    }

    byte[] start = read(channel, at, FrameHeader.LARGEST_BYTES);
    FrameHeader first = new FrameHeader();
    String wrong = first.take(start, 0, start.length, stream);
    if (wrong != null) {
      throw broken(0, at, wrong);
    }
    this.variable = first.isVariable();
    this.blockFrames =
        stream.minBlockFrames() == stream.maxBlockFrames()
            ? stream.maxBlockFrames()
            : first.blockFrames();
    long frames = stream.frames() > 0 ? checkEnd() : findEnd();
    this.format =
        new SoundFormat(
            SoundFormat.Container.FLAC,
            SoundFormat.Kind.INTEGER,
            stream.bits(),
            stream.sampleRateHz(),
            stream.channels(),
            frames);
  }

  @Override
  public Path path() {
    return path;
  }

  @Override
  public SoundFormat format() {
    return format;
  }

  /**
   * {@inheritDoc} In a FLAC file it stands where an encoder kept the chunks of the WAVE file it was
   * given.
   */
  @Override
  public Optional<BroadcastInfo> broadcast() {
    return Optional.ofNullable(broadcast);
  }

  @Override
  public List<String> mended() {
    return List.copyOf(mended);
  }

  @Override
  public int wholeBits() {
    return info.bits() <= 24 ? info.bits() : 0;
  }

  @Override
  public SoundReader openReader() throws IOException {
    return new FlacReader(this);
  }

  @Override
  public void close() throws IOException {
    channel.close();
  }

  /**
   * Decodes the whole file and compares it with the checksum in its header; RFC 9639, 8.2.
   *
   * @return true if it is the same; false if the file has none
   * @throws UnusableStem.Damaged if it differs
   */
  public boolean verifyMd5() throws IOException {
    if (!info.hasMd5()) {
      return false;
    }
    MessageDigest digest = newMd5();
    FrameStream stream = new FrameStream(this);
    byte[] raw = {};
    long frames = format.frames();
    while (stream.endFrame() < frames) {
      stream.next();
      int count = (int) (Math.min(stream.endFrame(), frames) - stream.firstFrame());
      int length = count * info.channels() * ((info.bits() + 7) / 8);
      if (raw.length < length) {
        raw = new byte[length];
      }
      interleave(stream.samples(), FrameDecoder.LEAD, count, info.bits(), raw);
      digest.update(raw, 0, length);
    }
    if (!HexFormat.of().formatHex(digest.digest()).equals(info.md5())) {
      throw new UnusableStem.Damaged(
          path, "holds other samples than its MD5 checksum says; export it again");
    }
    return true;
  }

  StreamInfo info() {
    return info;
  }

  SeekPoints seekPoints() {
    return seekPoints;
  }

  /** Place of the first frame in the file. */
  long audioOffset() {
    return audioOffset;
  }

  long byteCount() {
    return byteCount;
  }

  /** Length by the header, 0 where it does not say. */
  long knownFrames() {
    return info.frames();
  }

  /** Whether the frame counts as the file's frames do, and is not too long for it. */
  boolean agrees(FrameHeader header) {
    return header.isVariable() == variable && (variable || header.blockFrames() <= blockFrames);
  }

  /** The first sample of the frame. */
  long firstFrame(FrameHeader header) {
    return variable ? header.number() : header.number() * blockFrames;
  }

  /** Fills {@code into} from {@code offset} on. */
  void fill(ByteBuffer into, long offset) throws IOException {
    long at = offset;
    while (into.hasRemaining()) {
      int count = channel.read(into, at);
      if (count < 0) {
        throw new UnusableStem.Changed(path);
      }
      at += count;
    }
  }

  /**
   * What to throw for a frame that cannot be used.
   *
   * @param frame the sample it should start at
   * @param offset its place in the file
   */
  UnusableStem broken(long frame, long offset, String wrong) throws IOException {
    if (channel.size() != byteCount || !Files.getLastModifiedTime(path).equals(modified)) {
      return new UnusableStem.Changed(path);
    }
    if (wrong.equals(FrameHeader.CUT_OFF)) {
      String of = info.frames() > 0 ? " of " + time(info.frames()) : "";
      return new UnusableStem.Damaged(
          path, "ends early, at sample " + time(frame) + of + "; copy or export it again");
    }
    return new UnusableStem.Damaged(
        path,
        "is damaged at sample "
            + time(frame)
            + ", byte "
            + offset
            + ": "
            + wrong
            + "; copy or export it again");
  }

  /** Interleaved, little-endian, in whole bytes: the form that the MD5 is made of. */
  static void interleave(int[][] samples, int from, int count, int bits, byte[] raw) {
    int width = (bits + 7) / 8;
    int step = width * samples.length;
    for (int c = 0; c < samples.length; c++) {
      int[] channel = samples[c];
      int at = c * width;
      for (int i = from; i < from + count; i++, at += step) {
        int sample = channel[i];
        for (int b = 0; b < width; b++) {
          raw[at + b] = (byte) (sample >> (8 * b));
        }
      }
    }
  }

  static MessageDigest newMd5() {
    try {
      return MessageDigest.getInstance("MD5");
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("each Java platform has MD5", e);
    }
  }

  private String time(long frame) {
    return String.format(Locale.ROOT, "%d (%.3f s)", frame, (double) frame / info.sampleRateHz());
  }

  private UnusableStem damagedHeader(String what) {
    return new UnusableStem.Damaged(path, what + "; copy or export it again");
  }

  private StreamInfo checked(StreamInfo stream) throws UnusableStem {
    if (stream.channels() > 2) {
      throw new UnusableStem.NotReadHere(
          path,
          "has "
              + stream.channels()
              + " channels, only mono and stereo are read; export it again as mono or stereo");
    }
    if (stream.sampleRateHz() == 0) {
      throw new UnusableStem.NotReadHere(path, "has no sample rate; export it again");
    }
    if (stream.bits() < SMALLEST_BITS || stream.maxBlockFrames() < SMALLEST_BLOCK_FRAMES) {
      throw damagedHeader(
          "has a header that cannot be ("
              + stream.bits()
              + " bits, blocks of "
              + stream.maxBlockFrames()
              + ")");
    }
    return stream;
  }

  /** Reads the last frame by the header's length, and looks at what follows. */
  private long checkEnd() throws IOException {
    long frames = info.frames();
    FrameStream stream = new FrameStream(this);
    stream.moveTo(frames - 1);
    long behind = byteCount - stream.endOffset();
    if (stream.endFrame() > frames) {
      mended.add(
          "header says "
              + frames
              + " samples, the last block goes on to "
              + stream.endFrame()
              + ": the rest is left out");
    } else if (behind > 0) {
      mended.add(behind + " bytes follow the last sample: left out");
    }
    return frames;
  }

  /** Finds the length of a file whose header does not say it, from its last frame. */
  private long findEnd() throws IOException {
    FrameStream stream = new FrameStream(this);
    if (!stream.moveIntoTail(byteCount - TAIL_BYTES)) {
      // No good frame near the end: whatever is wrong is found by going through all.
      stream = new FrameStream(this);
    }
    String wrong = null;
    long frames = stream.endFrame();
    long offset = stream.endOffset();
    while (offset < byteCount && wrong == null) {
      wrong = stream.decodeAt(offset, frames);
      if (wrong == null) {
        frames = stream.endFrame();
        offset = stream.endOffset();
      }
    }
    if (wrong != null && (frames == 0 || !mend(frames, offset, wrong))) {
      throw broken(frames, offset, wrong);
    }
    return frames;
  }

  /** Whether what follows the last good frame is no loss, or that of an interrupted recording. */
  private boolean mend(long frames, long offset, String wrong) throws IOException {
    if (wrong.equals(FrameHeader.CUT_OFF)) {
      mended.add(
          "the header does not say the length, and the last block is cut off: read up to sample "
              + time(frames));
      return true;
    }
    byte[] head = read(channel, offset, 8);
    String text = new String(head, StandardCharsets.ISO_8859_1);
    boolean tag = text.startsWith("TAG") || text.startsWith("ID3") || text.equals("APETAGEX");
    if (tag || text.chars().allMatch(c -> c == 0)) {
      mended.add((byteCount - offset) + " bytes follow the last sample: left out");
      return true;
    }
    return false;
  }

  /** Bytes of a leading ID3v2 tag, 0 if there is none; ID3v2.4, 3.1 (from memory). */
  private static long tagBytes(byte[] head) {
    if (head.length < ID3_HEADER_BYTES || head[0] != 'I' || head[1] != 'D' || head[2] != '3') {
      return 0;
    }
    int length = 0;
    for (int i = 6; i < ID3_HEADER_BYTES; i++) {
      length = length << 7 | (head[i] & 0x7F);
    }
    boolean footer = (head[5] & 0x10) != 0;
    return ID3_HEADER_BYTES + (long) length + (footer ? ID3_HEADER_BYTES : 0);
  }

  /** The bext chunk in an APPLICATION block of kind "riff", null if it is another. */
  private static BroadcastInfo broadcast(byte[] block) {
    int chunk = 4;
    if (block.length < chunk + BEXT_TIME_REFERENCE + 8
        || !new String(block, 0, 8, StandardCharsets.ISO_8859_1).equals("riffbext")) {
      return null;
    }
    String description =
        new String(
            block, chunk + BEXT_DESCRIPTION, BEXT_DESCRIPTION_BYTES, StandardCharsets.ISO_8859_1);
    int end = description.indexOf('\0');
    long reference = Long.reverseBytes(StreamInfo.number(block, chunk + BEXT_TIME_REFERENCE, 8));
    return reference < 0
        ? null
        : new BroadcastInfo(end < 0 ? description : description.substring(0, end), reference);
  }

  /** Up to {@code count} bytes, fewer where the file ends. */
  private static byte[] read(FileChannel channel, long offset, int count) throws IOException {
    ByteBuffer bytes = ByteBuffer.allocate(count);
    while (bytes.hasRemaining() && channel.read(bytes, offset + bytes.position()) >= 0) {
      // Goes on until the bytes are full or the file ends.
    }
    return Arrays.copyOf(bytes.array(), bytes.position());
  }
}
