//! The words on a page, as poppler reads them out of the PDF.

use jarledger::paper::label::draw::print::print_labels;
use jarledger::paper::label::draw::test_page::print_test_page;
use jarledger::paper::label::sheet::built_in::{built_in_sheet, built_in_sheets};
use jarledger::paper::label::sheet::definition::Sheet;
use jarledger::paper::label::sheet::spec::SheetSpec;
use jarledger::paper::label::words::run::{Label, PrintWarning};

use crate::model::{label, run};
use crate::tools::{Pages, codes, have, output, text};

/// What a label says, in the order it is read; the jar's size stands on it where there is room.
fn said(label: &Label, put_up: &str, best_by: &str) -> String {
    let mut said = label.warning.clone().unwrap_or_default();
    said += &format!("{} {put_up} best by {best_by}", label.contents);
    said += label.household.as_deref().unwrap_or_default();
    said += if label.process.unrecorded { "Process not on record" } else { "" };
    said + &label.code.to_string()
}

/// A text without its white: lines break where the label's edge is.
fn bare(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

#[test]
fn the_text_of_every_sheet_is_the_models_in_four_alphabets() {
    if !have(&["pdftotext"]) {
        return;
    }
    let names = [
        "Green beans (bush), raw pack \\ 2nd picking",
        "Żurawina, gęste powidła śliwkowe i ćwikła",
        "Ντομάτες πελτέ με βασιλικό",
        "Огурцы солёные с чесноком, №5",
        "½ & ⅓: crème d'été – “jalapeño” <3",
    ];
    // On the smallest lids the longest of these names is cut.
    for sheet in built_in_sheets().into_iter().filter(|sheet| sheet.spec().width.millimetres() >= 45.0) {
        // 41 + 1 days into March by the model's own rule.
        let mut labels: Vec<Label> = (1..=5).map(|number| label(42, number)).collect();
        for (label, name) in labels.iter_mut().zip(names) {
            label.contents = name.to_owned();
        }
        (labels[1].warning, labels[1].household) = (Some("ON HOLD: gauge read high".to_owned()), None);
        labels[2].process.unrecorded = true;
        let run = run(sheet, labels);
        let printed = print_labels(&run, None).unwrap();
        assert_eq!(printed.warnings, [], "{}", run.sheet.name());
        let expected: String =
            run.labels.iter().map(|label| said(label, "15 Mar 2026", "15 Mar 2027")).collect();
        // Poppler ends each page with a form feed, which is white.
        let text = bare(&Pages::new(&printed.pdf).text()).replace("pint", "");
        assert_eq!(text, bare(&expected), "{}", run.sheet.name());
    }
}

#[test]
fn a_script_the_font_lacks_is_warned_of_and_the_code_still_prints() {
    let names = ["梅干し", "שום כבוש", "🥒🥒 pickles", "Beans\u{7}\u{1b}[2J\u{202e}olleh", "a\u{200b}b"];
    let labels: Vec<Label> = names
        .iter()
        .zip(1..)
        .map(|(name, number)| Label { contents: (*name).to_owned(), ..label(41, number) })
        .collect();
    let run = run(built_in_sheet("a4-4x8").unwrap(), labels);
    let printed = print_labels(&run, None).unwrap();
    let missing: Vec<&str> = printed
        .warnings
        .iter()
        .filter_map(|warning| match warning {
            PrintWarning::Missing { characters, .. } => Some(characters.as_str()),
            _ => None,
        })
        .collect();
    assert_eq!(missing, ["שוםכב", "梅干し", "🥒"]);
    let replaced = |warning: &&PrintWarning| matches!(warning, PrintWarning::Replaced { .. });
    assert_eq!(printed.warnings.iter().filter(replaced).count(), 2);
    if !have(&["pdftotext", "pdftoppm", "zbarimg"]) {
        return;
    }
    let pages = Pages::new(&printed.pdf);
    let text = pages.text();
    for label in &run.labels {
        assert!(text.contains(&label.code.to_string()), "{}", label.code);
    }
    assert!(!text.contains(['\u{7}', '\u{1b}', '\u{202e}']));
    assert!(codes(&pages.pictures(300)).len() > 1, "the page holds symbols");
}

#[test]
fn two_products_never_look_the_same_when_their_names_are_cut() {
    // 200 names of 200 letters, each different from all others in one place only.
    let whole: Vec<char> = "sweet peppers in oil ".chars().cycle().take(200).collect();
    let names = (0..200).map(|at| {
        let mut name = whole.clone();
        name[at] = if name[at] == 'x' { 'y' } else { 'x' };
        name.into_iter().collect::<String>()
    });
    let labels: Vec<Label> =
        names.zip(1..).map(|(contents, number)| Label { contents, ..label(41, number) }).collect();
    let small = SheetSpec::from_words("small", &["page=a4", "label=45x25", "grid=4x9"]).unwrap();
    let printed = print_labels(&run(Sheet::new(small).unwrap(), labels), None).unwrap();
    let mut shown: Vec<&str> = printed
        .warnings
        .iter()
        .map(|warning| match warning {
            PrintWarning::Cut { shown, .. } => shown.as_str(),
            other => panic!("{other}"),
        })
        .collect();
    assert!(shown.iter().all(|text| text.contains('\u{2026}')));
    shown.sort_unstable();
    shown.dedup();
    assert_eq!(shown.len(), 200);
}

#[test]
fn the_same_labels_give_the_same_bytes_and_only_the_given_time_is_in_them() {
    let run = run(built_in_sheet("letter-3x6").unwrap(), crate::model::labels(20));
    let at = |seconds| chrono::DateTime::from_timestamp(seconds, 0);
    let printed = print_labels(&run, at(1_770_000_000)).unwrap();
    assert_eq!(printed, print_labels(&run, at(1_770_000_000)).unwrap());
    assert_ne!(printed.pdf, print_labels(&run, at(1_770_000_001)).unwrap().pdf);
    let page = print_test_page(&run.sheet, None).unwrap();
    assert_eq!(page, print_test_page(&run.sheet, None).unwrap());
}

#[test]
fn the_document_says_what_it_is_and_carries_its_fonts() {
    if !have(&["pdfinfo", "pdffonts"]) {
        return;
    }
    let run = run(built_in_sheet("letter-3x6").unwrap(), crate::model::labels(20));
    let created = chrono::DateTime::from_timestamp(1_770_000_000, 0);
    let pages = Pages::new(&print_labels(&run, created).unwrap().pdf);
    let shown = String::from_utf8(output("pdfinfo", &["-isodates", text(&pages.pdf)])).unwrap();
    let field = |name: &str| {
        shown
            .lines()
            .find_map(|line| line.strip_prefix(name))
            .unwrap_or_else(|| panic!("{name} in {shown}"))
            .trim()
    };
    assert_eq!(field("Title:"), "Jar labels");
    assert!(field("Creator:").starts_with("jarledger "));
    // 1,770,000,000 s after 1 January 1970 UTC; checked with date -u.
    assert_eq!(&field("CreationDate:")[..13], "2026-02-02T02");
    assert_eq!(field("Pages:"), "2");
    assert_eq!(field("Page size:"), "612 x 792 pts (letter)");
    let fonts = String::from_utf8(output("pdffonts", &[text(&pages.pdf)])).unwrap();
    let fonts: Vec<&str> = fonts.lines().skip(2).collect();
    assert_eq!(fonts.len(), 2);
    for font in fonts {
        // Columns: embedded, subset, with a map to Unicode.
        assert!(font.contains("yes yes yes"), "{font}");
    }
}
