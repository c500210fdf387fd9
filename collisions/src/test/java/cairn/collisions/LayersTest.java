package cairn.collisions;

import static com.tngtech.archunit.base.DescribedPredicate.describe;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAPackage;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.domain.JavaMethodCall;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import java.io.Closeable;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import org.junit.jupiter.api.Test;

/** What the rules may ask of the world, and which way their packages point. */
class LayersTest {

  private static final JavaClasses RULES =
      new ClassFileImporter()
          .withImportOption(ImportOption.Predefined.DO_NOT_INCLUDE_TESTS)
          .importPackages("cairn.collisions");

  private static final Set<String> OF_JAVA_IO =
      Set.of(
          IOException.class.getName(),
          Closeable.class.getName(),
          UncheckedIOException.class.getName());

  @Test
  void theImportFindsTheModule() {
    assertTrue(RULES.contain(Analysis.class));
    assertTrue(RULES.size() > 30, "only " + RULES.size() + " classes");
  }

  @Test
  void theRulesDependOnNothingButTheJdkAndTransforms() {
    classes()
        .should()
        .onlyDependOnClassesThat()
        .resideInAnyPackage("cairn.collisions..", "java..", "org.jtransforms..", "org.visnow..")
        .because("the rules are the bottom of the house: tui, demo-stems and io point to them")
        .check(RULES);
  }

  @Test
  void theLibraryForTransformsStaysWithTheSpectra() {
    noClasses()
        .that()
        .resideOutsideOfPackage("cairn.collisions.spectrum")
        .should()
        .dependOnClassesThat()
        .resideInAnyPackage("org.jtransforms..", "org.visnow..")
        .because("one place knows how it packs its values and that it must make no threads")
        .check(RULES);
  }

  @Test
  void ofInputAndOutputTheyKnowOnlyFailureAndClosing() {
    noClasses()
        .should()
        .dependOnClassesThat(
            resideInAPackage("java.io..")
                .and(describe("are more than failures", c -> !OF_JAVA_IO.contains(c.getName()))))
        .because("samples come in through the port, so that a test can hand in an array")
        .check(RULES);
    noClasses()
        .should()
        .dependOnClassesThat()
        .resideInAnyPackage("java.nio..", "java.net..")
        .because("no rule opens a file: paths belong to the module io")
        .check(RULES);
  }

  @Test
  void theyPrintNothing() {
    noClasses()
        .should()
        .accessField(System.class, "out")
        .orShould()
        .accessField(System.class, "err")
        .orShould()
        .callMethodWhere(
            describe("a stack trace is printed", call -> call.getName().equals("printStackTrace")))
        .because("what is shown is for the caller to decide")
        .check(RULES);
  }

  @Test
  void theyAskNoClockAndNoChance() {
    noClasses()
        .should()
        .callMethod(System.class, "nanoTime")
        .orShould()
        .callMethod(System.class, "currentTimeMillis")
        .orShould()
        .callMethod(Math.class, "random")
        .orShould()
        .dependOnClassesThat()
        .resideInAPackage("java.time..")
        .orShould()
        .dependOnClassesThat()
        .haveNameMatching("java\\.util\\.(Random|Date|SplittableRandom|Timer).*")
        .because("the same stems give the same pass, to the bit")
        .check(RULES);
  }

  @Test
  void theyMakeNoThreads() {
    noClasses()
        .should()
        .dependOnClassesThat()
        .areAssignableTo(Thread.class)
        .orShould()
        .dependOnClassesThat()
        .haveNameMatching(
            "java\\.util\\.concurrent\\.(Executors|ForkJoin.*|.*ThreadPool.*|StructuredTaskScope)")
        .orShould()
        .callMethodWhere(
            describe("work goes to threads of nobody's choosing", LayersTest::choosesItsOwnThreads))
        .because("the caller hands in an executor and knows how many threads there are")
        .check(RULES);
  }

  private static boolean choosesItsOwnThreads(JavaMethodCall call) {
    String method = call.getName();
    boolean withoutExecutor =
        call.getTargetOwner().isEquivalentTo(CompletableFuture.class)
            && method.endsWith("Async")
            && call.getTarget().getRawParameterTypes().size() < 2;
    return withoutExecutor || method.equals("parallelStream") || method.equals("parallel");
  }

  @Test
  void theirPackagesPointOneWay() {
    slices()
        .matching("cairn.collisions.(*)..")
        .should()
        .beFreeOfCycles()
        .because("each follows one section of the definitions and can be read on its own")
        .check(RULES);
  }

  @Test
  void thePortsKnowNothingOfTheRules() {
    noClasses()
        .that()
        .resideInAPackage("cairn.collisions.port")
        .should()
        .dependOnClassesThat(
            describe(
                "are rules",
                (JavaClass c) ->
                    c.getPackageName().startsWith("cairn.collisions")
                        && !c.getPackageName().equals("cairn.collisions.port")))
        .because("whoever brings samples need not know what is done with them")
        .check(RULES);
  }
}
