package cairn.tui;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;

import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import org.junit.jupiter.api.Test;

class LayersTest {

  private static final JavaClasses CAIRN =
      new ClassFileImporter()
          .withImportOption(new ImportOption.DoNotIncludeTests())
          .importPackages("cairn");

  @Test
  void nothingBelowKnowsTheTerminal() {
    noClasses()
        .that()
        .resideInAnyPackage("cairn.collisions..", "cairn.io..", "cairn.demo..")
        .should()
        .dependOnClassesThat()
        .resideInAnyPackage("cairn.tui..", "picocli..")
        .because("rules, files and demo serve any front end")
        .check(CAIRN);
  }

  @Test
  void theCommandLineStaysInItsPackage() {
    noClasses()
        .that()
        .resideOutsideOfPackage("cairn.tui.command..")
        .should()
        .dependOnClassesThat()
        .resideInAPackage("picocli..")
        .because("one place takes the command line apart")
        .check(CAIRN);
  }

  @Test
  void theTerminalLibraryStaysInItsPackage() {
    noClasses()
        .that()
        .resideOutsideOfPackage("cairn.tui.terminal..")
        .should()
        .dependOnClassesThat()
        .resideInAPackage("com.googlecode.lanterna..")
        .because("screens are values: only what shows them knows a terminal")
        .check(CAIRN);
  }

  @Test
  void standardStreamsAreTouchedByCommandsAlone() {
    noClasses()
        .that()
        .resideOutsideOfPackage("cairn.tui.command..")
        .should()
        .accessField(System.class, "out")
        .orShould()
        .accessField(System.class, "err")
        .orShould()
        .accessField(System.class, "in")
        .because("standard output holds data only, and one place sees to it")
        .check(CAIRN);
  }

  @Test
  void theRulesAreBelowTheFiles() {
    noClasses()
        .that()
        .resideInAPackage("cairn.collisions..")
        .should()
        .dependOnClassesThat()
        .resideInAnyPackage("cairn.io..", "cairn.demo..")
        .because("the core opens no file")
        .check(CAIRN);
  }
}
