package cairn.tui;

/** Starts cairn. */
public final class Main {
  private Main() {}

  public static void main(String[] args) {
    System.out.println("cairn");
  }
}
