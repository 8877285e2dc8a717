//! Every symbol is read back by a decoder that is not our encoder (zbar), label by
//! label, as a camera sees it.

use jarledger::paper::label::draw::print::{print_labels, print_linked};
use jarledger::paper::label::sheet::built_in::{built_in_sheet, built_in_sheets};
use jarledger::paper::label::sheet::definition::Sheet;

use crate::model::{labels, run};
use crate::picture::Picture;
use crate::tools::{Pages, codes, have};

const DPI: f64 = 300.0;

fn dots(millimetres: f64) -> usize {
    (millimetres / 25.4 * DPI).round() as usize
}

/// Prints labels, cuts each out of the picture of its page, spoils it, and reads it.
fn read_back(sheet: Sheet, count: u32, start: usize, spoil: &dyn Fn(Picture) -> Picture) {
    let mut run = run(sheet, labels(count));
    run.start = start;
    let printed = print_labels(&run, None).unwrap();
    let pages = Pages::new(&printed.pdf);
    let pictures: Vec<Picture> = pages.pictures(DPI as u32).iter().map(|path| Picture::read(path)).collect();
    assert_eq!(pictures.len(), printed.pages);
    let files: Vec<_> = (0..run.labels.len())
        .map(|at| {
            let position = start - 1 + at;
            let place = run.sheet.label_box(position);
            let page = &pictures[position / run.sheet.per_page()];
            let [left, top, width, height] =
                [place.left, place.top, place.width, place.height].map(|length| dots(length.millimetres()));
            let path = pages.dir.path().join(format!("label-{at:03}.pgm"));
            spoil(page.part(left, top, width, height)).write(&path);
            path
        })
        .collect();
    let model: Vec<String> = run.labels.iter().map(|label| label.code.to_string()).collect();
    assert_eq!(codes(&files), model, "{} from {start}", run.sheet.name());
}

#[test]
fn every_code_on_every_built_in_sheet_reads_back() {
    if !have(&["pdftoppm", "zbarimg"]) {
        return;
    }
    for sheet in built_in_sheets() {
        let full = sheet.per_page();
        read_back(sheet, full as u32 + 1, 2, &|picture| picture);
    }
}

#[test]
fn a_single_label_in_the_last_free_position_reads_back() {
    if have(&["pdftoppm", "zbarimg"]) {
        let sheet = built_in_sheet("letter-3x6").unwrap();
        let last = sheet.per_page();
        read_back(sheet, 1, last, &|picture| picture);
    }
}

#[test]
fn one_code_and_a_hundred_read_back_on_every_built_in_sheet() {
    if !have(&["pdftoppm", "zbarimg"]) {
        return;
    }
    for sheet in built_in_sheets() {
        read_back(sheet.clone(), 1, 1, &|picture| picture);
        read_back(sheet, 100, 1, &|picture| picture);
    }
}

#[test]
fn codes_read_back_after_a_blur_and_a_turn_of_five_degrees() {
    if !have(&["pdftoppm", "zbarimg"]) {
        return;
    }
    for sheet in built_in_sheets() {
        let full = sheet.per_page() as u32;
        // One dot either way at 300 dpi: a blur a quarter of a millimetre wide.
        read_back(sheet, full, 1, &|picture| picture.blurred(1).turned(5.0));
    }
}

#[test]
fn links_read_back_on_every_sheet_that_has_room_for_them() {
    if !have(&["pdftoppm", "zbarimg"]) {
        return;
    }
    let mut linked = 0;
    for sheet in built_in_sheets() {
        let run = run(sheet, labels(3));
        let Ok(printed) = print_linked(&run, Some("http://shelf.local:8464"), None) else { continue };
        linked += 1;
        let wanted: Vec<String> =
            run.labels.iter().map(|label| format!("HTTP://SHELF.LOCAL:8464/J/{}", label.code)).collect();
        let mut read = codes(&Pages::new(&printed.pdf).pictures(DPI as u32));
        read.sort();
        assert_eq!(read, wanted, "{}", run.sheet.name());
    }
    // Those of 65 x 42 and 90 x 60 mm have room in any case.
    assert!(linked >= 4, "{linked}");
}
