package cairn.io.cache;

import cairn.collisions.line.FirstPass;
import cairn.collisions.line.Summary;
import cairn.collisions.line.WindowGrid;
import cairn.collisions.loudness.LoudnessSummary;
import cairn.collisions.loudness.Metering;
import java.io.IOException;
import java.nio.BufferUnderflowException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.zip.CRC32C;

/** An entry as bytes and back; the layout stands with the package. */
final class EntryFormat {

  private static final byte[] MAGIC = "cairnsum".getBytes(StandardCharsets.US_ASCII);
  private static final int VERSION = 1;
  private static final int HEADER_BYTES = 8 + 4 + 4 + 8 + EntryKey.BYTES + 4;
  private static final int SECTION_BYTES = 4 + 4 + 8;

  private static final int GRID = tag("GRID");
  private static final int BLOCKS = tag("BLCK");
  private static final int ENERGIES = tag("ENRG");
  private static final int STEMS = tag("STEM");
  private static final int BUS_LOUDNESS = tag("LBUS");
  private static final int STEM_LOUDNESS = tag("LSTM");

  private EntryFormat() {}

  /** The bytes are no entry, or a damaged one. */
  static final class Damaged extends IOException {
    private static final long serialVersionUID = 1L;

    Damaged(String what) {
      super(what);
    }

    Damaged(String what, RuntimeException cause) {
      super(what, cause);
    }
  }

  private static int tag(String name) {
    return buffer(name.getBytes(StandardCharsets.US_ASCII)).getInt();
  }

  private static ByteBuffer buffer(byte[] bytes) {
    return ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN);
  }

  private static ByteBuffer buffer(long numbers) {
    return buffer(new byte[Math.toIntExact(Math.multiplyExact(numbers, Double.BYTES))]);
  }

  private static int crc(ByteBuffer bytes) {
    CRC32C crc = new CRC32C();
    crc.update(bytes.duplicate());
    return (int) crc.getValue();
  }

  /**
   * The bytes of an entry.
   *
   * @throws ArithmeticException if it has more than 2 GiB
   */
  static byte[] write(byte[] key, FirstPass.Measured measured) {
    Map<Integer, ByteBuffer> sections = new LinkedHashMap<>();
    Summary summary = measured.summary();
    sections.put(GRID, grid(summary.grid()));
    ByteBuffer blocks = buffer(1L + summary.blocks()).putLong(summary.peakFrame());
    put(blocks, summary.blockPeaks());
    sections.put(BLOCKS, blocks.flip());
    ByteBuffer energies = buffer(summary.grid().windows());
    put(energies, summary.windowEnergies());
    sections.put(ENERGIES, energies.flip());
    ByteBuffer stems = buffer((long) summary.stems() * summary.grid().windows());
    for (int k = 0; k < summary.stems(); k++) {
      put(stems, summary.stemWindowPeaks(k));
    }
    sections.put(STEMS, stems.flip());
    measured.loudness().ifPresent(loudness -> putLoudness(loudness, sections));
    return join(key, sections);
  }

  private static ByteBuffer grid(WindowGrid grid) {
    ByteBuffer edges = buffer(1L + grid.windows());
    for (int j = 0; j < grid.windows(); j++) {
      edges.putLong(grid.firstFrame(j));
    }
    return edges.putLong(grid.range().endFrame()).flip();
  }

  private static void putLoudness(LoudnessSummary loudness, Map<Integer, ByteBuffer> sections) {
    ByteBuffer bus = buffer(2L + loudness.bus().count());
    bus.putDouble(loudness.busTruePeak()).putDouble(loudness.busEnergy());
    put(bus, loudness.bus().energies());
    sections.put(BUS_LOUDNESS, bus.flip());
    int stems = loudness.stems();
    if (stems > 0) {
      ByteBuffer all = buffer((long) stems * (2 + loudness.stem(0).count()));
      for (int k = 0; k < stems; k++) {
        all.putDouble(loudness.stemTruePeak(k)).putDouble(loudness.stemEnergy(k));
      }
      for (int k = 0; k < stems; k++) {
        put(all, loudness.stem(k).energies());
      }
      sections.put(STEM_LOUDNESS, all.flip());
    }
  }

  private static void put(ByteBuffer into, double[] numbers) {
    into.asDoubleBuffer().put(numbers);
    into.position(into.position() + numbers.length * Double.BYTES);
  }

  private static byte[] join(byte[] key, Map<Integer, ByteBuffer> sections) {
    long length = HEADER_BYTES;
    for (ByteBuffer content : sections.values()) {
      length += SECTION_BYTES + content.remaining();
    }
    byte[] bytes = new byte[Math.toIntExact(length)];
    ByteBuffer out = buffer(bytes);
    out.put(MAGIC).putInt(VERSION).putInt(sections.size()).putLong(length).put(key);
    out.putInt(crc(buffer(bytes).limit(out.position())));
    for (Map.Entry<Integer, ByteBuffer> section : sections.entrySet()) {
      ByteBuffer content = section.getValue();
      out.putInt(section.getKey()).putInt(crc(content));
      out.putLong(content.remaining()).put(content.duplicate());
    }
    return bytes;
  }

  /**
   * Reads an entry.
   *
   * @param key the key that it must have
   * @param stems number of stems
   * @param metering what the result holds
   * @return empty if what is asked for was not metered
   * @throws Damaged if it is not whole, or not what was asked for
   */
  static Optional<FirstPass.Measured> read(
      byte[] bytes, byte[] key, int sampleRateHz, int stems, WindowGrid grid, Metering metering)
      throws Damaged {
    try {
      Map<Integer, ByteBuffer> sections = split(bytes, key);
      ByteBuffer edges = section(sections, GRID);
      if (!edges.equals(grid(grid))) {
        throw new Damaged("its windows are others");
      }
      ByteBuffer blocks = section(sections, BLOCKS);
      long peakFrame = blocks.getLong();
      Summary summary =
          Summary.of(
              grid,
              sampleRateHz,
              numbers(blocks, blocks.remaining() / Double.BYTES),
              numbers(section(sections, ENERGIES), grid.windows()),
              rows(section(sections, STEMS), stems, grid.windows()),
              peakFrame);
      if (metering == Metering.NONE) {
        return Optional.of(new FirstPass.Measured(summary, Optional.empty()));
      }
      if (!sections.containsKey(BUS_LOUDNESS)
          || (metering == Metering.STEMS && !sections.containsKey(STEM_LOUDNESS))) {
        return Optional.empty();
      }
      int metered = metering == Metering.STEMS ? stems : 0;
      return Optional.of(
          new FirstPass.Measured(
              summary, Optional.of(loudness(sections, sampleRateHz, metered, grid))));
    } catch (BufferUnderflowException | IllegalArgumentException e) {
      throw new Damaged("its parts do not fit each other", e);
    }
  }

  private static Map<Integer, ByteBuffer> split(byte[] bytes, byte[] key) throws Damaged {
    if (bytes.length < HEADER_BYTES) {
      throw new Damaged("it is too short");
    }
    ByteBuffer in = buffer(bytes);
    byte[] magic = new byte[MAGIC.length];
    in.get(magic);
    int version = in.getInt();
    int count = in.getInt();
    long length = in.getLong();
    byte[] itsKey = new byte[EntryKey.BYTES];
    in.get(itsKey);
    int headerEnd = in.position();
    if (!Arrays.equals(magic, MAGIC)
        || version != VERSION
        || in.getInt() != crc(buffer(bytes).limit(headerEnd))
        || length != bytes.length
        || !Arrays.equals(itsKey, key)) {
      throw new Damaged("its header is another one");
    }
    Map<Integer, ByteBuffer> sections = new HashMap<>();
    for (int i = 0; i < count; i++) {
      int tag = in.getInt();
      int crc = in.getInt();
      long size = in.getLong();
      if (size < 0 || size > in.remaining()) {
        throw new Damaged("a section is not whole");
      }
      ByteBuffer content = in.slice(in.position(), (int) size).order(ByteOrder.LITTLE_ENDIAN);
      if (crc != crc(content)) {
        throw new Damaged("a section is not what was written");
      }
      sections.put(tag, content);
      in.position(in.position() + (int) size);
    }
    if (in.hasRemaining()) {
      throw new Damaged("something follows its sections");
    }
    return sections;
  }

  private static ByteBuffer section(Map<Integer, ByteBuffer> sections, int tag) throws Damaged {
    ByteBuffer section = sections.get(tag);
    if (section == null) {
      throw new Damaged("a section is missing");
    }
    return section;
  }

  private static LoudnessSummary loudness(
      Map<Integer, ByteBuffer> sections, int sampleRateHz, int stems, WindowGrid grid)
      throws Damaged {
    ByteBuffer bus = section(sections, BUS_LOUDNESS);
    double busTruePeak = bus.getDouble();
    double busEnergy = bus.getDouble();
    double[] busHops = numbers(bus, bus.remaining() / Double.BYTES);
    double[] truePeak = new double[stems];
    double[] energy = new double[stems];
    double[][] hops = new double[stems][];
    if (stems > 0) {
      ByteBuffer all = section(sections, STEM_LOUDNESS);
      for (int k = 0; k < stems; k++) {
        truePeak[k] = all.getDouble();
        energy[k] = all.getDouble();
      }
      hops = rows(all, stems, all.remaining() / Double.BYTES / stems);
    }
    return new LoudnessSummary(
        sampleRateHz,
        grid.range().firstFrame(),
        grid.range().frames(),
        busHops,
        busTruePeak,
        busEnergy,
        hops,
        truePeak,
        energy);
  }

  private static double[][] rows(ByteBuffer from, int rows, int each) {
    double[][] all = new double[rows][];
    for (int k = 0; k < rows; k++) {
      all[k] = numbers(from, each);
    }
    return all;
  }

  private static double[] numbers(ByteBuffer from, int count) {
    double[] numbers = new double[count];
    from.asDoubleBuffer().get(numbers);
    from.position(from.position() + count * Double.BYTES);
    return numbers;
  }
}
