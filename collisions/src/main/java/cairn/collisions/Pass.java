package cairn.collisions;

/** One analysis of the stems. */
public record Pass() {}
