//! Where the words and the symbol of one label go.

use crate::paper::font::Typeface;
use crate::paper::label::fit::area::Area;
use crate::paper::label::fit::symbol::{LEAST_MODULE, QUIET};
use crate::paper::label::sheet::spec::SheetSpec;
use crate::paper::label::words::block::{Fitted, MM};
use crate::paper::label::words::run::{Label, LabelKind, PrintWarning};
use crate::paper::label::words::wording::{Sizes, wording};
use crate::values::time::day_words::DayOrder;

/// Largest module, in points: a larger one scans no better at arm's length.
const LARGEST_MODULE: f32 = 1.0 * MM;
/// From this height on a symbol takes half of it.
const TALL: f32 = 45.0 * MM;
/// From here on the day put up takes the size it is read at across a kitchen.
const WIDE: f32 = 50.0 * MM;
/// That size, and the one on narrower labels, in points.
const DAY: (f32, f32) = (12.0, 9.0);

/// One label, ready to draw; everything in points from its top left corner.
#[derive(Debug)]
pub(in crate::paper) struct Layout {
    /// The words.
    pub fitted: Fitted,
    /// Which block is the jar's number, on a label that has one.
    pub number_block: Option<usize>,
    /// Top left of the symbol, without its quiet zone, on a label that has one.
    pub symbol: Option<(f32, f32)>,
    /// Side of one module.
    pub module: f32,
    /// What it would be in the symbol's share of the label; a larger one takes room from the words.
    pub share: f32,
    /// What of the words could not be shown.
    pub warnings: Vec<PrintWarning>,
}

impl Layout {
    /// What must stand on the label and has no room.
    pub(crate) fn left_out(&self) -> Option<&str> {
        self.fitted.left_out.as_deref()
    }
}

/// Lays out a label on a sheet; `modules` is the side of its symbol.
pub(in crate::paper) fn lay_out(
    face: &mut Typeface,
    label: &Label,
    order: DayOrder,
    sheet: &SheetSpec,
    modules: usize,
) -> Layout {
    let area = Area { width: sheet.width.points(), height: sheet.height.points() };
    let full = (modules + 2 * QUIET) as f32;
    let share = if sheet.round {
        0.29 * area.width
    } else if area.height >= TALL {
        (0.5 * area.height).min(0.37 * area.width)
    } else {
        (0.61 * area.height).min(0.37 * area.width)
    };
    let share = share / full;
    let module = share.clamp(LEAST_MODULE * MM, LARGEST_MODULE);
    let side = full * module;
    let day = if area.width >= WIDE - 0.01 { DAY.0 } else { DAY.1 };
    let details = if sheet.round { 0.052 * area.width } else { 0.047 * area.width.min(1.8 * area.height) };
    let sizes = Sizes { day, details: details.max(6.5), lines: 3 };
    let worded = wording(face, label, order, sizes);
    let number_block = match label.kind {
        LabelKind::Shelf => Some(worded.head.len() + worded.safety.len()),
        LabelKind::Gift { .. } => None,
        LabelKind::Lid => Some(usize::from(label.warning.is_some())),
    };
    let (fitted, corner) = if label.kind != LabelKind::Shelf {
        (area.words_alone(face, &worded, sheet.round), None)
    } else if sheet.round {
        area.disc(face, &worded, side)
    } else {
        area.columns(face, &worded, side).unwrap_or_else(|| area.column(face, &worded, side))
    };
    let mut warnings = worded.warnings;
    let warning =
        |(text, shown): &(String, String)| PrintWarning::Cut { text: text.clone(), shown: shown.clone() };
    warnings.extend(fitted.cut.iter().map(warning));
    let inset = QUIET as f32 * module;
    let symbol = corner.map(|(x, y)| (x + inset, y + inset));
    Layout { fitted, number_block, symbol, module, share, warnings }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paper::font::{ASCENT, DESCENT};
    use crate::paper::label::sheet::built_in::built_in_sheets;
    use crate::paper::label::sheet::definition::Sheet;
    use crate::rules::jar::keeps::Keeps;
    use crate::values::kinds::jar_size::JarSize;
    use chrono::NaiveDate;
    use proptest::prelude::*;

    fn label(code: &str, contents: &str, household: Option<&str>, warning: Option<&str>) -> Label {
        Label {
            code: code.parse().unwrap(),
            contents: contents.to_owned(),
            put_up: NaiveDate::from_ymd_opt(2026, 12, 28).unwrap(),
            keeps: Keeps::BestBy(NaiveDate::from_ymd_opt(2027, 12, 28).unwrap()),
            process: Default::default(),
            size: JarSize::ThreeQuarterPint,
            household: household.map(str::to_owned),
            warning: warning.map(str::to_owned),
            because: None,
            kind: Default::default(),
        }
    }

    /// Checks that all ink lies on the label and that the words keep off the symbol and its quiet zone.
    fn check(face: &mut Typeface, sheet: &Sheet, label: &Label, modules: usize) {
        let spec = sheet.spec();
        let layout = lay_out(face, label, DayOrder::DayMonthYear, spec, modules);
        // Such a label is refused, and nothing of it drawn.
        if layout.left_out().is_some() {
            return;
        }
        let (width, height) = (spec.width.points(), spec.height.points());
        let inset = QUIET as f32 * layout.module;
        let side = modules as f32 * layout.module + 2.0 * inset;
        let symbol = layout.symbol.unwrap();
        let quiet = (symbol.0 - inset, symbol.1 - inset, side, side);
        let lines = layout.fitted.lines.iter().map(|line| {
            let high = (ASCENT + DESCENT) * line.size;
            let wide = line.shaped.width * line.size;
            (line.x, line.baseline - ASCENT * line.size, wide, high)
        });
        let lines: Vec<_> = lines.collect();
        // A hundredth of the width: words are measured one by one, lines are kerned as a whole.
        let slack = width / 100.0;
        for (at, (x, y, w, h)) in lines.iter().enumerate() {
            for (left, top, wide, high) in &lines[..at] {
                let across = (x + w).min(left + wide) - x.max(*left);
                let down = (y + h).min(top + high) - y.max(*top);
                assert!(
                    across <= slack || down <= 0.02,
                    "{} {}: words overlap",
                    sheet.name(),
                    label.contents
                );
            }
        }
        let words: Vec<_> = lines.into_iter().chain(layout.fitted.frames.iter().copied()).collect();
        for (x, y, w, h) in words.iter().copied().chain([quiet]) {
            for (x, y) in [(x, y), (x + w, y), (x, y + h), (x + w, y + h)] {
                if spec.round {
                    let off = (x - width / 2.0).hypot(y - height / 2.0);
                    assert!(off <= width / 2.0 + slack, "{} {}: {off}", sheet.name(), label.contents);
                } else {
                    let inside = (0.0..=width).contains(&x) && (0.0..=height).contains(&y);
                    assert!(inside, "{} {}: {x} {y}", sheet.name(), label.contents);
                }
            }
        }
        for (x, y, w, h) in words {
            let clear = x + w <= quiet.0 + slack || y + h <= quiet.1 + 0.02 || x >= quiet.0 + quiet.2;
            assert!(clear, "{} {}: words on the symbol", sheet.name(), label.contents);
        }
        let code: String = layout
            .fitted
            .lines
            .iter()
            .filter(|line| Some(line.block) == layout.number_block)
            .map(|line| line.shaped.text.as_str())
            .collect();
        assert_eq!(code, label.code.to_string(), "{}", sheet.name());
        assert!(layout.fitted.lines.iter().all(|line| line.size >= crate::paper::label::words::block::FLOOR));
        assert!(layout.module >= LEAST_MODULE * MM);
    }

    /// Sizes of the name, the day put up and the largest of the rest but for a frame.
    fn ranks(layout: &Layout) -> [f32; 3] {
        let largest = |of: &dyn Fn(usize) -> bool| {
            let lines = layout.fitted.lines.iter().filter(|line| of(line.block));
            lines.map(|line| line.size).fold(0.0, f32::max)
        };
        [largest(&|at| at == 0), largest(&|at| at == 1), largest(&|at| at > 1)]
    }

    /// Sheets of a household's own: discs, slips and one as large as a page.
    fn own_sheets() -> Vec<Sheet> {
        let words = [
            "round=38 grid=4x6",
            "round=41 grid=4x6",
            "round=47 grid=3x5",
            "round=52 grid=3x5",
            "round=63 grid=3x4",
            "round=70 grid=2x3",
            "label=38x20 grid=5x10",
            "label=44x24 grid=4x10",
            "label=52x30 grid=3x9",
            "label=63x38 grid=3x7",
            "label=62x30 grid=3x9",
            "label=70x50 grid=2x5",
            "label=105x74 grid=2x4",
            "label=190x60 grid=1x4",
            "label=190x270 grid=1x1",
        ];
        let sheet = |words: &str| {
            let words: Vec<&str> = std::iter::once("page=a4").chain(words.split(' ')).collect();
            Sheet::new(SheetSpec::from_words(words[1].split_once('=').unwrap().1, &words).unwrap()).unwrap()
        };
        words.into_iter().map(sheet).collect()
    }

    #[test]
    fn name_and_day_lead_on_every_sheet_however_long_the_name() {
        let names = [
            "Ham",
            "Peas",
            "Green beans",
            "Blackberry jam",
            "Peaches in light syrup",
            "Tomato sauce with basil, thick",
            "Chicken broth, no salt, for the winter soups",
            "Bread-and-butter pickles with mustard seed, turmeric, celery seed and white onions",
            "Plums in a thin syrup with the stones left in and a stick of cinnamon, from the tree behind the barn, \
             for company only",
            "Donaudampfschifffahrtsgesellschaftskapitänspflaumenmus",
            "Огурцы солёные с укропом и чесноком",
            "מלפפונים חמוצים",
            "แตงกวาดองน้ำส้ม",
            "梅干ししそ入り",
        ];
        let mut face = Typeface::new();
        let mut out = Vec::new();
        for sheet in built_in_sheets().into_iter().chain(own_sheets()) {
            for name in names {
                for boil in [None, Some("Boil 12 min before tasting")] {
                    let label = label("26-041-03-3", name, boil, None);
                    check(&mut face, &sheet, &label, 21);
                    let layout = lay_out(&mut face, &label, DayOrder::DayMonthYear, sheet.spec(), 21);
                    let [first, second, rest] = ranks(&layout);
                    let led = first >= second && second + 0.01 >= rest;
                    if layout.left_out().is_some() || !led {
                        out.push(format!("{}: {first} {second} {rest} {name}", sheet.name()));
                    }
                }
            }
        }
        assert!(out.is_empty(), "{out:#?}");
    }

    #[test]
    fn no_line_ends_inside_a_word_that_goes_on_one() {
        let mut face = Typeface::new();
        for sheet in built_in_sheets() {
            for contents in ["Applesauce", "Tomato sauce", "Blackberry jam", "Peaches in light syrup"] {
                let label = label("26-041-03-3", contents, Some("Boil 12 min before tasting"), None);
                let layout = lay_out(&mut face, &label, DayOrder::DayMonthYear, sheet.spec(), 21);
                let lines: Vec<&str> =
                    layout.fitted.lines.iter().map(|line| line.shaped.text.as_str()).collect();
                assert!(!layout.fitted.splits, "{}: {lines:?}", sheet.name());
            }
        }
    }

    #[test]
    fn all_ink_stays_on_every_label_and_off_the_quiet_zone() {
        let long = "Bread-and-butter pickles with mustard seed, turmeric and white onions ".repeat(3);
        let boil = Some("boil 15 min before tasting");
        let held = Some(
            "ON HOLD, do not eat: the canner's gauge read 3 psi high when it was tested; SEAL NOT CHECKED",
        );
        // Wide codes: beyond 999 batches, and the longest there is. Check digits by python-stdnum, iso7064.mod_11_10.
        let wide = ["26-041-03-3", "26-1041-103-4", "99-9999999-9999999-7"];
        let mut face = Typeface::new();
        for sheet in built_in_sheets() {
            for (code, modules) in wide.iter().zip([21, 21, 25]) {
                for contents in ["Peas", long.as_str(), "WWWWWWWWWWWWWWWWWWWWWWWWWWWWWW", ""] {
                    for (household, warning) in
                        [(None, None), (boil, None), (boil, held), (None, Some("NOT SEALED"))]
                    {
                        check(&mut face, &sheet, &label(code, contents, household, warning), modules);
                    }
                }
            }
        }
    }

    #[test]
    fn what_keeps_people_from_harm_is_whole_on_every_sheet_whatever_else_is_cut() {
        let long = "Plums in a thin syrup with the stones left in and a stick of cinnamon ".repeat(3);
        let warnings = [
            None,
            Some("DO NOT EAT, on hold"),
            Some("DO NOT EAT, on hold; NOT SEALED: keep in the refrigerator"),
            Some("NOT SEALED: discard"),
            Some("OPENED: keep in the refrigerator"),
        ];
        let mut face = Typeface::new();
        for sheet in built_in_sheets() {
            for warning in warnings {
                for unrecorded in [false, true] {
                    let boil = warning.is_none().then_some("Boil 12 min before tasting");
                    let mut label = label("26-1041-103-4", &long, boil, warning);
                    label.process.unrecorded = unrecorded;
                    label.because = warning.is_some().then(|| "the gauge read 3 psi high ".repeat(8));
                    let layout = lay_out(&mut face, &label, DayOrder::DayMonthYear, sheet.spec(), 21);
                    assert_eq!(layout.left_out(), None, "{} {warning:?}", sheet.name());
                    let mut shown = String::new();
                    for line in &layout.fitted.lines {
                        shown.push_str(&line.shaped.text);
                        shown.push(' ');
                    }
                    let shown: String = shown.split_whitespace().collect::<Vec<_>>().join(" ");
                    let mut must: Vec<String> = vec![label.code.to_string(), "28 Dec 2026".to_owned()];
                    must.push("28 Dec 2027".to_owned());
                    // On the smallest lids the longest warning comes down to its first words.
                    let small = sheet.spec().width.points() < 45.0 * MM;
                    let least =
                        |text: &str| if small && text.len() > 40 { "DO NOT EAT" } else { text }.to_owned();
                    must.extend(warning.map(least));
                    must.extend(boil.map(|_| "Boil 12 min".to_owned()));
                    must.extend(unrecorded.then(|| "Process not on record".to_owned()));
                    let joined = shown.replace(' ', "");
                    for text in must {
                        // A code may break between its figures; what counts is that nothing of it is lost.
                        let whole = shown.contains(&text) || joined.contains(&text.replace(' ', ""));
                        assert!(whole, "{}: {text} in {shown}", sheet.name());
                    }
                }
            }
        }
    }

    #[test]
    fn a_frame_of_many_lines_keeps_off_the_symbol() {
        let held = [
            "ON HOLD",
            "DO NOT EAT",
            "the canner's gauge read 3 psi high",
            "NOT SEALED",
            "discard by Monday",
        ];
        let mut face = Typeface::new();
        for sheet in built_in_sheets() {
            for words in [3, 6, 9, 12] {
                let warning: Vec<&str> = held.into_iter().cycle().take(words).collect();
                check(&mut face, &sheet, &label("26-041-03-3", "Peas", None, Some(&warning.join("; "))), 21);
            }
        }
    }

    #[test]
    fn a_label_without_room_for_its_warning_is_refused() {
        let warning = Some("NOT SEALED: keep in the refrigerator ".repeat(14));
        let label = label("26-041-03-3", "Peas", None, warning.as_deref());
        let sheet = &built_in_sheets()[2];
        let layout = lay_out(&mut Typeface::new(), &label, DayOrder::DayMonthYear, sheet.spec(), 21);
        assert!(layout.left_out().is_some());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(16))]
        #[test]
        fn no_text_gets_out_of_its_label(contents in "\\PC{0,120}", warning in proptest::option::of(".{0,80}"), at in 0..12_usize) {
            let sheet = &built_in_sheets()[at];
            check(&mut Typeface::new(), sheet, &label("26-041-03-3", &contents, Some("boil 15 min before tasting"), warning.as_deref()), 21);
        }
    }
}
