package cairn.tui.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The walk over a real SSH server, started on the loopback interface for the test alone. */
class WalkOverSshTest {

  private static final long MOST_SECONDS = 120;

  @TempDir private Path folder;
  private Path stems;
  private Process server;
  private String login;

  @BeforeEach
  void startServer() throws IOException, InterruptedException {
    stems = SmallSong.write(folder.resolve("parade"));
    OutsideTool.tmux();
    String sshd = OutsideTool.sshd();
    makeKey("host");
    makeKey("user");
    int port;
    try (ServerSocket free = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      port = free.getLocalPort();
    }
    Path settings = folder.resolve("sshd_config");
    Files.writeString(
        settings,
        String.join(
            "\n",
            "Port " + port,
            "ListenAddress 127.0.0.1",
            "HostKey " + folder.resolve("host"),
            "AuthorizedKeysFile " + folder.resolve("user.pub"),
            "PermitRootLogin prohibit-password",
            "PasswordAuthentication no",
            "UsePAM no",
            "StrictModes no",
            "PidFile none",
            ""));
    Path log = folder.resolve("sshd.log");
    server =
        new ProcessBuilder(sshd, "-D", "-e", "-f", settings.toString())
            .redirectErrorStream(true)
            .redirectOutput(log.toFile())
            .start();
    if (!answers(port)) {
      OutsideTool.unusable("sshd does not start here", Files.readString(log).strip());
    }
    login =
        "ssh -F /dev/null -o IdentitiesOnly=yes -o BatchMode=yes -o LogLevel=ERROR"
            + " -o StrictHostKeyChecking=accept-new"
            + (" -o UserKnownHostsFile=" + folder.resolve("known"))
            + (" -i " + folder.resolve("user") + " -p " + port + " 127.0.0.1");
    OutsideTool.Outcome tried =
        OutsideTool.run(
            folder, List.of("sh", "-c", login.replace("ssh -F", "ssh -n -F") + " true"));
    if (tried.status() != 0) {
      OutsideTool.unusable(
          "nobody can log in over ssh here", tried.text().strip() + Files.readString(log));
    }
    // The command of the other side, in a file, since quotes would have to pass two shells.
    Files.writeString(
        folder.resolve("remote.sh"), "export LANG=C.UTF-8\n" + Walk.command(stems) + "\n");
  }

  private void makeKey(String name) throws IOException, InterruptedException {
    OutsideTool.Outcome made =
        OutsideTool.run(folder, List.of("ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-f", name));
    assertEquals(0, made.status(), made.text());
  }

  private boolean answers(int port) {
    long deadline = System.nanoTime() + TimeUnit.SECONDS.toNanos(MOST_SECONDS);
    while (server.isAlive() && System.nanoTime() < deadline) {
      try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), port)) {
        return socket.isConnected();
      } catch (IOException e) {
        Thread.onSpinWait();
      }
    }
    return false;
  }

  @AfterEach
  void stopServer() throws InterruptedException {
    if (server != null) {
      server.descendants().forEach(ProcessHandle::destroy);
      server.destroy();
      server.waitFor();
    }
  }

  private Walk logIn() throws IOException, InterruptedException {
    return new Walk(
        folder,
        80,
        24,
        "tmux-256color",
        "exec " + login.replace("ssh -F", "ssh -tt -F") + " sh " + folder.resolve("remote.sh"));
  }

  private Optional<ProcessHandle> program() {
    return server
        .descendants()
        .filter(
            process ->
                process.info().command().map(command -> command.endsWith("/java")).orElse(false))
        .findFirst();
  }

  @Test
  void marksAreThereOnTheNextLoginAfterTheConnectionWasCut() throws Exception {
    String states;
    try (Walk walk = logIn()) {
      walk.awaitList();
      walk.press("f", "j", "Enter");
      String screen = walk.await("two marks", s -> Walk.states(s).matches("f[ntc].*"));
      states = Walk.states(screen).substring(0, 3);
      ProcessHandle program = program().orElseThrow();
      ProcessHandle client = ProcessHandle.of(Long.parseLong(walk.fact("pane_pid"))).orElseThrow();
      assertTrue(client.destroyForcibly(), "the connection is cut");
      program.onExit().get(MOST_SECONDS, TimeUnit.SECONDS);
    }
    assertEquals(1, Walk.saved(stems, 'f'));
    assertEquals(1, Walk.saved(stems, states.charAt(1)));
    try (Walk again = logIn()) {
      String screen = again.awaitList();
      assertTrue(Walk.states(screen).startsWith(states), screen);
      assertFalse(screen.contains("read-only"), screen);
      again.press("q");
      program().ifPresent(program -> program.onExit().join());
    }
  }
}
