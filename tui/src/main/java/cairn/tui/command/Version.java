package cairn.tui.command;

import picocli.CommandLine.IVersionProvider;

/** Tells the program's version. */
public final class Version implements IVersionProvider {

  /** The version without the program's name; {@code development} where there is no manifest. */
  static String number() {
    String version = Version.class.getPackage().getImplementationVersion();
    return version == null ? "development" : version;
  }

  /** Prints {@code cairn 1.2.3}. */
  public static void print() {
    System.out.println("cairn " + number());
  }

  @Override
  public String[] getVersion() {
    return new String[] {"cairn " + number()};
  }
}
