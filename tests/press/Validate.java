import java.io.FileInputStream;
import org.verapdf.gf.foundry.VeraGreenfieldFoundryProvider;
import org.verapdf.pdfa.Foundries;
import org.verapdf.pdfa.PDFAParser;
import org.verapdf.pdfa.flavours.PDFAFlavour;
import org.verapdf.pdfa.results.TestAssertion;
import org.verapdf.pdfa.results.ValidationResult;

/** Comes in: pairs of a flavour (ua1, 2a, ...) and a PDF. Goes out: a line a pair, then a line a broken rule. */
public class Validate {
    public static void main(String[] given) throws Exception {
        VeraGreenfieldFoundryProvider.initialise();
        boolean wrong = false;
        for (int i = 0; i + 1 < given.length; i += 2) {
            PDFAFlavour flavour = PDFAFlavour.fromString(given[i]);
            try (PDFAParser parser = Foundries.defaultInstance().createParser(new FileInputStream(given[i + 1]), flavour)) {
                ValidationResult result = Foundries.defaultInstance().createValidator(flavour, false).validate(parser);
                wrong |= !result.isCompliant();
                System.out.println((result.isCompliant() ? "holds " : "broken ") + given[i] + " " + result.getTotalAssertions()
                    + " " + given[i + 1]);
                for (TestAssertion one : result.getTestAssertions())
                    if (one.getStatus() == TestAssertion.Status.FAILED)
                        System.out.println("  " + one.getRuleId().getClause() + "-" + one.getRuleId().getTestNumber() + " "
                            + one.getMessage() + " @ " + one.getLocation().getContext());
            }
        }
        System.exit(wrong ? 1 : 0);
    }
}
