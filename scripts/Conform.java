import java.io.FileInputStream;
import org.verapdf.gf.foundry.VeraGreenfieldFoundryProvider;
import org.verapdf.pdfa.Foundries;
import org.verapdf.pdfa.PDFAParser;
import org.verapdf.pdfa.PDFAValidator;
import org.verapdf.pdfa.flavours.PDFAFlavour;
import org.verapdf.pdfa.results.ValidationResult;

/** Says of each PDF whether it keeps PDF/A-3a and PDF/UA-1, and which clauses it breaks. */
public class Conform {
    private static final String[] STANDARDS = {"3a", "ua1"};
    private static final int MOST_TOLD = 200; // failed checks of one rule that are told apart

    public static void main(String[] files) throws Exception {
        VeraGreenfieldFoundryProvider.initialise();
        boolean keeps = true;
        for (String file : files) {
            for (String standard : STANDARDS) {
                ValidationResult found = check(file, PDFAFlavour.fromString(standard));
                keeps &= found.isCompliant();
                System.out.printf("%s %s %s: %d checks, failed %s%n", file, standard,
                    found.isCompliant() ? "kept" : "BROKEN", found.getTotalAssertions(),
                    found.getFailedChecks());
            }
        }
        System.exit(keeps ? 0 : 1);
    }

    private static ValidationResult check(String file, PDFAFlavour standard) throws Exception {
        try (FileInputStream content = new FileInputStream(file);
             PDFAParser parser = Foundries.defaultInstance().createParser(content, standard)) {
            PDFAValidator validator = Foundries.defaultInstance()
                .createValidator(standard, MOST_TOLD, false, false, false);
            return validator.validate(parser);
        }
    }
}
