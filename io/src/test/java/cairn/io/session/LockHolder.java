package cairn.io.session;

import java.io.IOException;
import java.nio.file.Path;

/** Another program: holds the lock of a session until its standard input ends. */
final class LockHolder {

  private LockHolder() {}

  /** Says how it went, and waits. */
  public static void main(String[] args) throws IOException {
    try (SessionLock lock = SessionLock.of(Path.of(args[0]))) {
      System.out.println(lock.state());
      System.out.flush();
      System.in.readAllBytes();
    }
  }

  /** Starts it and waits until it has said how it went. */
  static Process start(Path sessionFile, SessionLock.State expected) throws IOException {
    Process process =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Xshare:auto",
                "-XX:TieredStopAtLevel=1",
                "-cp",
                System.getProperty("java.class.path"),
                LockHolder.class.getName(),
                sessionFile.toString())
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    String said = process.inputReader().readLine();
    if (!expected.name().equals(said)) {
      process.destroyForcibly();
      throw new IOException("expected " + expected + ", it said " + said);
    }
    return process;
  }
}
