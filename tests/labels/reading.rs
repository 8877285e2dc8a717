//! What is read first, from how far, and how large its code is, measured in the PDF and in pictures of it.

use jarledger::paper::label::draw::print::print_labels;
use jarledger::paper::label::sheet::built_in::built_in_sheets;
use jarledger::paper::label::sheet::definition::Sheet;
use jarledger::paper::label::sheet::spec::SheetSpec;
use jarledger::paper::label::words::run::{Label, LabelKind};

use crate::model::{label, run};
use crate::picture::Picture;
use crate::tools::{Pages, have, output, text};

/// Ascent and descent of the font, of 1,000 units: `hhea` of the files, read with fonttools. Poppler's boxes have it.
const BOX: f64 = 1.069 + 0.293;

/// The words of a page with their sizes in points, as poppler reads them.
fn sizes(pdf: &[u8]) -> Vec<(String, f64)> {
    let pages = Pages::new(pdf);
    let shown = String::from_utf8(output("pdftotext", &["-bbox", text(&pages.pdf), "-"])).unwrap();
    let field = |line: &str, name: &str| -> f64 {
        let (_, after) = line.split_once(&format!("{name}=\"")).unwrap();
        after.split('"').next().unwrap().parse().unwrap()
    };
    shown
        .lines()
        .filter(|line| line.trim_start().starts_with("<word"))
        .map(|line| {
            let word = line.split(['<', '>']).nth(2).unwrap();
            (word.to_owned(), (field(line, "yMax") - field(line, "yMin")) / BOX)
        })
        .collect()
}

fn size_of(sizes: &[(String, f64)], word: &str) -> f64 {
    sizes.iter().find(|(known, _)| known == word).unwrap_or_else(|| panic!("{word} in {sizes:?}")).1
}

#[test]
fn the_name_is_the_largest_and_the_day_put_up_is_read_across_a_kitchen() {
    if !have(&["pdftotext"]) {
        return;
    }
    let names = ["Peas", "Green beans", "Tomato sauce", "Peaches in light syrup"];
    for (sheet, contents) in built_in_sheets().iter().flat_map(|sheet| names.map(|name| (sheet, name))) {
        let wide = sheet.spec().width.millimetres() >= 50.0;
        let household = Some("Boil 12 min before tasting".to_owned());
        let label = Label { contents: contents.to_owned(), household, ..label(42, 3) };
        let printed = print_labels(&run(sheet.clone(), vec![label]), None).unwrap();
        assert_eq!(printed.warnings, []);
        let sizes = sizes(&printed.pdf);
        let seen = format!("{} {contents} {sizes:?}", sheet.name());
        let name = size_of(&sizes, contents.split(' ').next().unwrap());
        let day = size_of(&sizes, "15");
        let number = size_of(&sizes, "26-042-03-6");
        assert!(day >= if wide { 12.0 } else { 9.0 } - 0.05, "{seen}");
        assert!((9.0 - 0.05..=12.0 + 0.05).contains(&number), "{seen}");
        assert!(name >= day, "{seen}");
        for word in ["best", "Boil", "min"] {
            assert!(size_of(&sizes, word) < day, "{seen}");
        }
        assert_eq!(sizes.iter().filter(|(word, _)| word.contains("26-042")).count(), 1, "{seen}");
    }
}

#[test]
fn name_and_day_lead_on_sheets_of_ones_own_too() {
    if !have(&["pdftotext"]) {
        return;
    }
    let names = [
        "Ham",
        "Blackberry jam",
        "Chicken broth, no salt, for the winter soups",
        "Огурцы солёные с укропом и чесноком",
        "Bread-and-butter pickles with mustard seed, turmeric, celery seed and white onions",
        "Plums in a thin syrup with the stones left in and a stick of cinnamon, from the tree behind the barn, for \
         company only",
    ];
    let own = [
        "round=38 grid=4x6",
        "round=46 grid=3x5",
        "round=70 grid=2x3",
        "label=38x20 grid=5x10",
        "label=52x30 grid=3x9",
        "label=63x38 grid=3x7",
        "label=105x74 grid=2x3",
        "label=190x270 grid=1x1",
    ];
    let own = own.map(|words| {
        let words: Vec<&str> = std::iter::once("page=a4").chain(words.split(' ')).collect();
        Sheet::new(SheetSpec::from_words("own", &words).unwrap()).unwrap()
    });
    for (sheet, contents) in own.iter().flat_map(|sheet| names.map(|name| (sheet, name))) {
        let household = Some("Boil 12 min before tasting".to_owned());
        let label = Label { contents: contents.to_owned(), household, ..label(42, 3) };
        let printed = print_labels(&run(sheet.clone(), vec![label]), None).unwrap();
        let sizes = sizes(&printed.pdf);
        let seen = format!("{sheet} {contents} {sizes:?}");
        let first: String = contents.chars().take(3).collect();
        let name = sizes.iter().find(|(word, _)| word.starts_with(&first)).expect(&seen).1;
        let day = size_of(&sizes, "15");
        assert!(name >= day - 0.05 && day >= 7.0 - 0.05, "{seen}");
        for word in ["Boil", "12", "min", "26-042-03-6"] {
            assert!(size_of(&sizes, word) <= day + 0.05, "{seen}");
        }
    }
}

#[test]
fn a_warning_is_read_from_as_far_as_what_it_stands_on() {
    if !have(&["pdftotext"]) {
        return;
    }
    let warned = |kind| Label { warning: Some("DO NOT EAT, on hold".to_owned()), kind, ..label(42, 3) };
    for sheet in built_in_sheets() {
        let lid = print_labels(&run(sheet.clone(), vec![warned(LabelKind::Lid)]), None).unwrap();
        let lid = sizes(&lid.pdf);
        let [warning, number] = ["EAT,", "26-042-03-6"].map(|word| size_of(&lid, word));
        assert!(warning > 0.7 * number, "{} {lid:?}", sheet.name());
    }
    let sheet = built_in_sheets().remove(0);
    let shelf = print_labels(&run(sheet, vec![warned(LabelKind::Shelf)]), None).unwrap();
    assert!(size_of(&sizes(&shelf.pdf), "EAT,") >= 12.0 - 0.05);
}

#[test]
fn a_larger_label_is_written_in_larger_letters() {
    if !have(&["pdftotext"]) {
        return;
    }
    let one = |words: [&str; 3]| Sheet::new(SheetSpec::from_words("one", &words).unwrap()).unwrap();
    let name = |sheet| {
        let label = Label { contents: "Peas".to_owned(), ..label(42, 3) };
        size_of(&sizes(&print_labels(&run(sheet, vec![label]), None).unwrap().pdf), "Peas")
    };
    let page = |size: &'static str| ["page=a4", size, "grid=1x1"];
    let (hand, shelf, crate_side) =
        (name(one(page("label=60x40"))), name(one(page("label=120x80"))), name(one(page("label=200x150"))));
    assert!(shelf > 1.5 * hand && crate_side > 1.5 * shelf, "{hand} {shelf} {crate_side}");
}

const DPI: f64 = 300.0;

/// Finder patterns in a picture: the middle and width of each row that runs dark, light, dark, light, dark as
/// 1 : 1 : 3 : 1 : 1 modules (ISO/IEC 18004, 5.3.2.1), in millimetres.
fn finders(picture: &Picture) -> Vec<(f64, f64)> {
    let mut found = Vec::new();
    for row in picture.grey.chunks(picture.width) {
        let edges: Vec<usize> = (1..row.len()).filter(|&at| (row[at] < 128) != (row[at - 1] < 128)).collect();
        for part in edges.windows(6).filter(|part| row[part[0]] < 128) {
            let (from, to) = (part[0], part[5]);
            let module = (to - from) as f64 / 7.0;
            let fits = |(at, of): (usize, f64)| {
                ((part[at + 1] - part[at]) as f64 - of * module).abs() <= 0.15 * module
            };
            if [1.0, 1.0, 3.0, 1.0, 1.0].into_iter().enumerate().all(fits) {
                found.push(((from + to) as f64 / 2.0 * 25.4 / DPI, module * 25.4 / DPI));
            }
        }
    }
    found
}

#[test]
fn a_code_is_as_large_as_its_label_allows_and_faces_the_reader() {
    if !have(&["pdftoppm"]) {
        return;
    }
    let one = |words: [&str; 3]| Sheet::new(SheetSpec::from_words("one", &words).unwrap()).unwrap();
    let mut sheets: Vec<(Sheet, f64)> = built_in_sheets().into_iter().map(|sheet| (sheet, 0.5)).collect();
    sheets.push((one(["page=a4", "label=63x38", "grid=1x1"]), 0.8));
    sheets.push((one(["page=a4", "label=100x70", "grid=1x1"]), 1.0));
    sheets.push((one(["page=a4", "label=38x20", "grid=1x1"]), 0.5));
    for (sheet, least) in sheets {
        let printed = print_labels(&run(sheet.clone(), vec![label(42, 3)]), None).unwrap();
        let picture = Picture::read(&Pages::new(&printed.pdf).pictures(DPI as u32)[0]);
        let found = finders(&picture);
        let shown = format!("{} {}", sheet.name(), sheet);
        assert!(!found.is_empty(), "{shown}");
        let (place, width) = (sheet.label_box(0), sheet.spec().width.millimetres());
        let middle = place.left.millimetres() + width / 2.0;
        // Letters and chance may look like a pattern once; most rows that do belong to one.
        let mut modules: Vec<f64> = found.iter().map(|(_, module)| *module).collect();
        modules.sort_by(f64::total_cmp);
        let module = modules[modules.len() / 2];
        // A dot is 0.08 mm, over seven modules.
        assert!((least - 0.02..=1.02).contains(&module), "{shown}: {module} mm");
        for (at, _) in found.iter().filter(|found| (found.1 - module).abs() < 0.02) {
            // In the middle, with half a millimetre for the eye: the end of the symbol is 10.5 modules away. Pictures of a
            // jar 7 cm across taken from its front are read up to 10 mm off by zbar and 8 mm by OpenCV (measured in 2026).
            let far = (at - middle).abs() + 3.5 * module;
            assert!(width <= 60.0 || far <= 10.5 * module + 0.5, "{shown}: {far} mm");
        }
    }
}
