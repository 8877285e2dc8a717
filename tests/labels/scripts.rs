//! Names in scripts that the program's own font lacks, drawn with the machine's fonts and held against pictures of the
//! same words by HarfBuzz's own `hb-view`.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveDate;
use jarledger::paper::font::fonts::{FontError, FontFile, Fonts};
use jarledger::paper::label::draw::print::{Printed, print_labels};
use jarledger::paper::label::draw::sheets_of_jars::{ShelfCard, print_shelf_card};
use jarledger::paper::label::sheet::built_in::built_in_sheet;
use jarledger::paper::label::sheet::page::Page;
use jarledger::paper::label::words::run::{LabelError, PrintWarning};
use jarledger::values::time::day_words::DayOrder;

use crate::model::{label, run};
use crate::picture::Picture;
use crate::tools::{Pages, have, output, text};

const FOLDER: &str = "/usr/share/fonts";

/// A name, the file of the bold face that draws it, which face of the file it is, and the language.
const NAMES: [(&str, &str, &str); 7] = [
    ("מלפפונים חמוצים", "truetype/noto/NotoSansHebrew-Bold.ttf", "he"),
    ("مخلل الخيار بالثوم", "truetype/noto/NotoSansArabic-Bold.ttf", "ar"),
    ("आम का अचार और कर्ता", "truetype/noto/NotoSansDevanagari-Bold.ttf", "hi"),
    ("แตงกวาดองน้ำส้ม", "truetype/noto/NotoSansThai-Bold.ttf", "th"),
    ("酸黄瓜配大蒜", "opentype/noto/NotoSansCJK-Bold.ttc", "zh-cn"),
    ("梅干ししそ入り", "opentype/noto/NotoSansCJK-Bold.ttc", "ja"),
    ("오이장아찌", "opentype/noto/NotoSansCJK-Bold.ttc", "ko"),
];

fn installed(programs: &[&str]) -> bool {
    let lacks: Vec<&str> =
        NAMES.iter().map(|name| name.1).filter(|file| !Path::new(FOLDER).join(file).exists()).collect();
    if lacks.is_empty() {
        return have(programs);
    }
    assert!(
        std::env::var_os("CI").is_none(),
        "needed here: {lacks:?} (Debian: fonts-noto-core, fonts-noto-cjk)"
    );
    eprintln!("SKIPPED: {lacks:?} not installed (Debian: fonts-noto-core, fonts-noto-cjk)");
    false
}

fn machine(language: &str) -> Fonts {
    Fonts { folders: vec![PathBuf::from(FOLDER)], language: Some(language.to_owned()), ..Fonts::default() }
}

/// A card whose title is a name.
fn titled(name: &str, fonts: &Fonts) -> Printed {
    let as_of = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
    let card = ShelfCard { place: name.to_owned(), as_of, lines: Vec::new() };
    print_shelf_card(&card, DayOrder::DayMonthYear, Page::A4, fonts, None).unwrap()
}

/// The ink on rows of a picture, drawn out to one size for all.
fn ink(picture: &Picture, rows: std::ops::Range<usize>) -> Vec<u8> {
    const WIDE: usize = 240;
    const HIGH: usize = 48;
    let dark = |x: usize, y: usize| picture.at(x as isize, y as isize) < 128;
    let ys: Vec<usize> = rows.filter(|&y| (0..picture.width).any(|x| dark(x, y))).collect();
    let (top, bottom) = (ys[0], ys[ys.len() - 1] + 1);
    let xs: Vec<usize> = (0..picture.width).filter(|&x| (top..bottom).any(|y| dark(x, y))).collect();
    let (left, right) = (xs[0], xs[xs.len() - 1] + 1);
    let part = picture.part(left, top, right - left, bottom - top).blurred(3);
    let spread = |at: usize, of: usize, size: usize| ((2 * at + 1) * size / (2 * of)) as isize;
    let points = (0..HIGH).flat_map(|y| (0..WIDE).map(move |x| (x, y)));
    points.map(|(x, y)| part.at(spread(x, WIDE, part.width), spread(y, HIGH, part.height))).collect()
}

fn apart(one: &[u8], other: &[u8]) -> f64 {
    let sum: u32 = one.iter().zip(other).map(|(a, b)| u32::from(a.abs_diff(*b))).sum();
    f64::from(sum) / one.len() as f64
}

/// What HarfBuzz draws.
fn drawn_by_harfbuzz(name: &str, file: &str, language: &str) -> Vec<u8> {
    let font = Path::new(FOLDER).join(file);
    let options = ["--font-size=26", "--margin=20", "-O", "pdf"];
    let language = format!("--language={language}");
    let pdf = output("hb-view", &[&options[..], &[&language, text(&font), name]].concat());
    let picture = Picture::read(&Pages::new(&pdf).pictures(600)[0]);
    ink(&picture, 0..picture.height)
}

#[test]
fn names_in_seven_scripts_are_drawn_as_harfbuzz_draws_them() {
    if !installed(&["pdftoppm", "hb-view"]) {
        return;
    }
    for (name, file, language) in NAMES {
        let card = titled(name, &machine(language));
        assert_eq!(card.warnings, []);
        let picture = Picture::read(&Pages::new(&card.pdf).pictures(600)[0]);
        // The title stands under the margin of 42.5 points, on a baseline 24 points below; the next line's letters begin
        // 8 points below that.
        let point = 600.0 / 72.0;
        let ours = ink(&picture, (42.0 * point) as usize..(74.55 * point) as usize);
        let right = apart(&ours, &drawn_by_harfbuzz(name, file, language));
        let backward: String = name.chars().rev().collect();
        let wrong = apart(&ours, &drawn_by_harfbuzz(&backward, file, language));
        assert!(right * 3.0 < wrong, "{name}: {right:.1} from HarfBuzz, {wrong:.1} from the same backward");
    }
}

#[test]
fn names_in_seven_scripts_read_back_and_bring_only_their_own_glyphs() {
    if !installed(&["pdftotext", "pdffonts"]) {
        return;
    }
    let labels = NAMES.iter().zip(1..).map(|((name, ..), number)| {
        let mut label = label(42, number);
        label.contents = (*name).to_owned();
        label
    });
    let run = jarledger::paper::label::words::run::LabelRun {
        fonts: machine("en"),
        ..run(built_in_sheet("letter-3x6").unwrap(), labels.collect())
    };
    let printed = print_labels(&run, None).unwrap();
    assert_eq!(printed.warnings, []);
    // The files hold some twenty megabytes.
    assert!(printed.pdf.len() < 150_000, "{}", printed.pdf.len());
    let pages = Pages::new(&printed.pdf);
    let fonts = String::from_utf8(output("pdffonts", &[text(&pages.pdf)])).unwrap();
    for line in fonts.lines().skip(2) {
        // A subset's name begins with six capitals and a plus (ISO 32000-1, 9.6.4).
        assert!(line.as_bytes()[6] == b'+', "{line}");
    }
    // Poppler marks what is read leftward.
    let bare = |text: &str| text.replace(['\u{202a}', '\u{202b}', '\u{202c}', ' ', '\n'], "");
    let read = String::from_utf8(output("pdftotext", &[text(&pages.pdf), "-"])).unwrap();
    let read = bare(&read);
    for (name, ..) in NAMES {
        assert!(read.contains(&bare(name)), "{name} in {read}");
    }
}

#[test]
fn a_font_that_is_given_goes_before_none_and_what_is_no_font_is_refused() {
    let mut run = run(built_in_sheet("letter-3x6").unwrap(), vec![label(42, 1)]);
    let given = |bytes: Vec<u8>| Some(FontFile { name: "hand.ttf".to_owned(), bytes: Arc::new(bytes) });
    run.fonts.given = given(b"no font".to_vec());
    let refused = print_labels(&run, None).unwrap_err();
    assert_eq!(refused, LabelError::Font(FontError::NoFont("hand.ttf".to_owned())));
    if !installed(&[]) {
        return;
    }
    let (name, file, _) = NAMES[0];
    run.labels[0].contents = name.to_owned();
    run.fonts.given = None;
    let missing = print_labels(&run, None).unwrap().warnings;
    assert!(
        matches!(&missing[..], [PrintWarning::Missing { package: "fonts-noto-core", .. }]),
        "{missing:?}"
    );
    let mut font = std::fs::read(Path::new(FOLDER).join(file)).unwrap();
    run.fonts.given = given(font.clone());
    assert_eq!(print_labels(&run, None).unwrap().warnings, []);
    // OpenType, OS/2: fsType stands 8 bytes into the table, and 2 in it forbids embedding.
    let record = font.windows(4).position(|tag| tag == b"OS/2").unwrap();
    let table = u32::from_be_bytes(font[record + 8..record + 12].try_into().unwrap()) as usize;
    font[table + 9] = 2;
    run.fonts.given = given(font);
    let refused = print_labels(&run, None).unwrap_err();
    assert_eq!(refused, LabelError::Font(FontError::Restricted("hand.ttf".to_owned())));
}
