package cairn.tui.model;

/** How the list of moments is sorted. */
public enum Order {
  EXCESS,
  TIME,
  STEM
}
