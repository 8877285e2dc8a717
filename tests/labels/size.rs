//! True size, measured in pictures of the pages.

use jarledger::paper::label::draw::print::print_labels;
use jarledger::paper::label::draw::test_page::print_test_page;
use jarledger::paper::label::sheet::built_in::built_in_sheets;

use crate::model::{labels, run};
use crate::picture::Picture;
use crate::tools::{Pages, have};

const DPI: u32 = 300;
/// What a measurement may be off by, in mm: the width of an edge and a dot.
const OFF: f64 = 0.25;

fn millimetres(dots: usize) -> f64 {
    dots as f64 * 25.4 / f64::from(DPI)
}

fn picture(pdf: &[u8]) -> Picture {
    Picture::read(&Pages::new(pdf).pictures(DPI)[0])
}

/// The first and last dark dot of each unbroken run in a row or column.
fn runs(dots: impl Iterator<Item = u8>) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for (at, _) in dots.enumerate().filter(|(_, grey)| *grey < 128) {
        match runs.last_mut() {
            Some(run) if run.1 + 1 == at => run.1 = at,
            _ => runs.push((at, at)),
        }
    }
    runs
}

fn row(picture: &Picture, y: usize) -> impl Iterator<Item = u8> {
    picture.grey[y * picture.width..(y + 1) * picture.width].iter().copied()
}

fn column(picture: &Picture, x: usize) -> impl Iterator<Item = u8> {
    picture.grey.iter().skip(x).step_by(picture.width).copied()
}

#[test]
fn a_label_is_as_large_and_lies_where_its_sheet_says() {
    if !have(&["pdftoppm"]) {
        return;
    }
    // Width, height, left, top of the last label in mm; by hand: a sheet stands in the middle of its page, and
    // its labels touch, but for discs, which stand 60, 84 and 48 mm apart.
    let expected = [
        ("letter-3x6", 65.0, 42.0, 140.45, 223.7),
        ("letter-2x4", 90.0, 60.0, 107.95, 199.7),
        ("letter-4x8", 45.0, 32.0, 152.95, 235.7),
        ("letter-round-3x4", 55.0, 55.0, 140.45, 202.2),
        ("letter-round-2x3", 72.0, 72.0, 113.95, 187.7),
        ("letter-round-4x5", 42.0, 42.0, 158.95, 214.7),
        ("a4-3x6", 65.0, 42.0, 137.5, 232.5),
        ("a4-2x4", 90.0, 60.0, 105.0, 208.5),
        ("a4-4x8", 45.0, 32.0, 150.0, 244.5),
        ("a4-round-3x4", 55.0, 55.0, 137.5, 211.0),
        ("a4-round-2x3", 72.0, 72.0, 111.0, 196.5),
        ("a4-round-4x5", 42.0, 42.0, 156.0, 223.5),
    ];
    for (sheet, (name, width, height, left, top)) in built_in_sheets().into_iter().zip(expected) {
        assert_eq!(sheet.name(), name);
        let mut run = run(sheet, labels(1));
        (run.start, run.outline) = (run.sheet.per_page(), true);
        let picture = picture(&print_labels(&run, None).unwrap().pdf);
        // The only ink on the page is one label: its edge is the box around all ink.
        let dark = |dots: Vec<u8>| dots.iter().any(|grey| *grey < 128);
        let rows: Vec<usize> = (0..picture.height).filter(|y| dark(row(&picture, *y).collect())).collect();
        let columns: Vec<usize> =
            (0..picture.width).filter(|x| dark(column(&picture, *x).collect())).collect();
        let (first, last) = (|all: &[usize]| all[0], |all: &[usize]| all[all.len() - 1] + 1);
        let measured = [
            (millimetres(last(&columns) - first(&columns)), width),
            (millimetres(last(&rows) - first(&rows)), height),
            (millimetres(first(&columns)), left),
            (millimetres(first(&rows)), top),
        ];
        for (measured, expected) in measured {
            assert!((measured - expected).abs() <= OFF, "{name}: {measured} mm, not {expected} mm");
        }
    }
}

#[test]
fn the_rulers_are_true_in_millimetres_and_inches() {
    if !have(&["pdftoppm"]) {
        return;
    }
    for sheet in built_in_sheets() {
        let picture = picture(&print_test_page(&sheet, None).unwrap().pdf);
        // A ruler begins 12 mm from the edge of the page, no label does.
        let begins = |run: &(usize, usize)| (millimetres(run.0) - 12.0).abs() < 0.15;
        let longest = |runs: Vec<(usize, usize)>| {
            runs.into_iter().filter(begins).map(|(a, b)| (b - a, a)).max().unwrap_or((0, 0))
        };
        let (across, y) = (0..picture.height).map(|y| (longest(runs(row(&picture, y))), y)).max().unwrap();
        let (down, x) = (0..picture.width).map(|x| (longest(runs(column(&picture, x))), x)).max().unwrap();
        // 9 points beside the line only the ticks of whole centimetres and inches are left.
        let beside = 9 * DPI as usize / 72;
        let ticks = |dots: Vec<u8>, from: usize| -> Vec<f64> {
            runs(dots.into_iter())
                .iter()
                .map(|run| millimetres(run.0 + run.1) / 2.0 - millimetres(from))
                .collect()
        };
        for (step, length, marks) in [
            (10.0, across.0, ticks(row(&picture, y - beside).collect(), across.1)),
            (25.4, across.0, ticks(row(&picture, y + beside).collect(), across.1)),
            (10.0, down.0, ticks(column(&picture, x - beside).collect(), down.1)),
            (25.4, down.0, ticks(column(&picture, x + beside).collect(), down.1)),
        ] {
            let count = ((millimetres(length) + OFF) / step) as usize;
            assert!(count >= 6, "{}: {length}", sheet.name());
            for count in 0..=count {
                // The edges of labels cross here too.
                let wanted = step * count as f64;
                let there = marks.iter().any(|mark| (mark - wanted).abs() <= OFF);
                assert!(there, "{}: no mark at {wanted} mm: {marks:?}", sheet.name());
            }
        }
    }
}

#[test]
fn the_test_page_shows_every_edge_of_every_label_whole() {
    if !have(&["pdftoppm"]) {
        return;
    }
    for sheet in built_in_sheets().into_iter().filter(|sheet| !sheet.spec().round) {
        let picture = picture(&print_test_page(&sheet, None).unwrap().pdf);
        let dots = |length: f64| (length / 25.4 * f64::from(DPI)).round() as isize;
        // An edge is 0.4 points wide, and may fall between two dots.
        let dark = |x: isize, y: isize, (across, down): (isize, isize)| {
            (-2..=2).any(|off| picture.at(x + across * off, y + down * off) < 128)
        };
        for position in 0..sheet.per_page() {
            let place = sheet.label_box(position);
            let [left, top, width, height] =
                [place.left, place.top, place.width, place.height].map(|length| dots(length.millimetres()));
            for x in left..left + width {
                let whole = dark(x, top, (0, 1)) && dark(x, top + height, (0, 1));
                assert!(whole, "{} {position}: across at {x}", sheet.name());
            }
            for y in top..top + height {
                let whole = dark(left, y, (1, 0)) && dark(left + width, y, (1, 0));
                assert!(whole, "{} {position}: down at {y}", sheet.name());
            }
        }
    }
}
