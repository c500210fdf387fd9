package cairn.demo;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;

import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import org.junit.jupiter.api.Test;

class LayersTest {

  @Test
  void theDemoKnowsNothingOfTheProgramThatShowsIt() {
    noClasses()
        .that()
        .resideInAPackage("cairn.demo..")
        .should()
        .dependOnClassesThat()
        .resideInAnyPackage("cairn.tui..", "javax.sound..")
        .because("dependencies point one way: tui, demo-stems, io, collisions")
        .check(classes());
  }

  @Test
  void theSongDoesNotUseTheAnalysisThatItIsToTry() {
    noClasses()
        .that()
        .resideInAPackage("cairn.demo..")
        .should()
        .dependOnClassesThat()
        .resideInAPackage("cairn.collisions..")
        .because("the planted truth must not come from the code that is tried against it")
        .check(classes());
  }

  private static JavaClasses classes() {
    return new ClassFileImporter()
        .withImportOption(ImportOption.Predefined.DO_NOT_INCLUDE_TESTS)
        .importPackages("cairn.demo");
  }
}
