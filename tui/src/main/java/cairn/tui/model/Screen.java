package cairn.tui.model;

/** The screens; one is in front. */
public enum Screen {
  WALK,
  STEMS,
  LADDER,
  PLAN,
  MARKS,
  SPECTRUM,
  EXPORT,
  CHECK,
  HELP
}
