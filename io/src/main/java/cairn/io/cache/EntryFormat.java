package cairn.io.cache;

import cairn.collisions.line.FirstPass;
import cairn.collisions.line.Summary;
import cairn.collisions.line.WindowGrid;
import cairn.collisions.loudness.LoudnessSummary;
import cairn.collisions.loudness.Metering;
import java.nio.BufferUnderflowException;
import java.nio.ByteBuffer;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;

/** An entry as bytes and back; the layout stands with the package. */
final class EntryFormat {

  private static final Sections.Kind KIND = new Sections.Kind("cairnsum", 1);

  private static final int GRID = Sections.tag("GRID");
  private static final int BLOCKS = Sections.tag("BLCK");
  private static final int ENERGIES = Sections.tag("ENRG");
  private static final int STEMS = Sections.tag("STEM");
  private static final int BUS_LOUDNESS = Sections.tag("LBUS");
  private static final int STEM_LOUDNESS = Sections.tag("LSTM");

  private EntryFormat() {}

  private static ByteBuffer buffer(long numbers) {
    return Sections.buffer(new byte[Math.toIntExact(Math.multiplyExact(numbers, Double.BYTES))]);
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
    return Sections.join(KIND, key, sections);
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

  /**
   * Reads an entry.
   *
   * @param key the key that it must have
   * @param stems number of stems
   * @param metering what the result holds
   * @return empty if what is asked for was not metered
   * @throws Sections.Damaged if it is not whole, or not what was asked for
   */
  static Optional<FirstPass.Measured> read(
      byte[] bytes, byte[] key, int sampleRateHz, int stems, WindowGrid grid, Metering metering)
      throws Sections.Damaged {
    try {
      Map<Integer, ByteBuffer> sections = Sections.split(KIND, bytes, key);
      ByteBuffer edges = Sections.section(sections, GRID);
      if (!edges.equals(grid(grid))) {
        throw new Sections.Damaged("its windows are others");
      }
      ByteBuffer blocks = Sections.section(sections, BLOCKS);
      long peakFrame = blocks.getLong();
      Summary summary =
          Summary.of(
              grid,
              sampleRateHz,
              numbers(blocks, blocks.remaining() / Double.BYTES),
              numbers(Sections.section(sections, ENERGIES), grid.windows()),
              rows(Sections.section(sections, STEMS), stems, grid.windows()),
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
      throw new Sections.Damaged("its parts do not fit each other", e);
    }
  }

  private static LoudnessSummary loudness(
      Map<Integer, ByteBuffer> sections, int sampleRateHz, int stems, WindowGrid grid)
      throws Sections.Damaged {
    ByteBuffer bus = Sections.section(sections, BUS_LOUDNESS);
    double busTruePeak = bus.getDouble();
    double busEnergy = bus.getDouble();
    double[] busHops = numbers(bus, bus.remaining() / Double.BYTES);
    double[] truePeak = new double[stems];
    double[] energy = new double[stems];
    double[][] hops = new double[stems][];
    if (stems > 0) {
      ByteBuffer all = Sections.section(sections, STEM_LOUDNESS);
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
