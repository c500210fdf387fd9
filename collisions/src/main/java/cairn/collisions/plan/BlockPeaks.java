package cairn.collisions.plan;

import cairn.collisions.line.Summary;
import java.util.Arrays;

/**
 * Peaks of all summary blocks of a bus, linear. Immutable: a change copies only the pages it writes
 * and shares the others, since what-ifs are many and differ in a few places.
 */
final class BlockPeaks {

  private static final int PAGE = 256;

  private final double[][] pages;
  private final double[] pagePeak;
  private final int blocks;

  private BlockPeaks(double[][] pages, double[] pagePeak, int blocks) {
    this.pages = pages;
    this.pagePeak = pagePeak;
    this.blocks = blocks;
  }

  /** Those of the summary. */
  static BlockPeaks of(Summary summary) {
    int blocks = summary.blocks();
    double[][] pages = new double[(blocks + PAGE - 1) / PAGE][];
    double[] pagePeak = new double[pages.length];
    for (int i = 0; i < pages.length; i++) {
      double[] page = new double[Math.min(PAGE, blocks - i * PAGE)];
      for (int j = 0; j < page.length; j++) {
        page[j] = summary.blockPeak(i * PAGE + j);
      }
      pages[i] = page;
      pagePeak[i] = largest(page);
    }
    return new BlockPeaks(pages, pagePeak, blocks);
  }

  /** With the peaks of the blocks from {@code firstBlock} on replaced by {@code fresh}. */
  BlockPeaks with(int firstBlock, double[] fresh) {
    double[][] newPages = pages.clone();
    double[] newPagePeak = pagePeak.clone();
    int at = 0;
    while (at < fresh.length) {
      int page = (firstBlock + at) / PAGE;
      int from = (firstBlock + at) % PAGE;
      int length = Math.min(fresh.length - at, newPages[page].length - from);
      newPages[page] = newPages[page].clone();
      System.arraycopy(fresh, at, newPages[page], from, length);
      newPagePeak[page] = largest(newPages[page]);
      at += length;
    }
    return new BlockPeaks(newPages, newPagePeak, blocks);
  }

  int blocks() {
    return blocks;
  }

  double peak(int block) {
    return pages[block / PAGE][block % PAGE];
  }

  double largest() {
    return largest(pagePeak);
  }

  /** The first block whose peak is the largest. */
  int firstLargest() {
    double largest = largest();
    int page = 0;
    while (pagePeak[page] != largest) {
      page++;
    }
    int at = 0;
    while (pages[page][at] != largest) {
      at++;
    }
    return page * PAGE + at;
  }

  private static double largest(double[] values) {
    return Arrays.stream(values).max().orElse(0);
  }
}
