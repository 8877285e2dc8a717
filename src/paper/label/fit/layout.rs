//! Where the words and the symbol of one label go.

use crate::paper::font::Typeface;
use crate::paper::label::draw::run::Label;
use crate::paper::label::draw::run::PrintWarning;
use crate::paper::label::draw::symbol::{LEAST_MODULE, QUIET};
use crate::paper::label::fit::shrink::{Fitted, Shape, fit};
use crate::paper::label::sheet::definition::SheetSpec;
use crate::paper::label::words::wording::{Sizes, blocks};
use crate::values::time::day_words::DayOrder;

/// White kept along the edge of a label, in points (2 mm): sheets feed askew.
const EDGE: f32 = 5.67;
/// White kept beside the quiet zone, in points (0.5 mm).
const NEAR: f32 = 1.42;
/// Points in a millimetre.
pub(in crate::paper) const MM: f32 = 72.0 / 25.4;
/// Largest module, in points (0.6 mm): a larger one scans no better at arm's length.
const LARGEST_MODULE: f32 = 0.6 * MM;

/// One label, ready to draw; everything in points from its top left corner.
#[derive(Debug)]
pub(in crate::paper) struct Layout {
    /// The words.
    pub fitted: Fitted,
    /// Which block is the jar code.
    pub code_block: usize,
    /// Top left of the text's shape.
    pub origin: (f32, f32),
    /// Top left of the symbol, without its quiet zone.
    pub symbol: (f32, f32),
    /// Side of one module.
    pub module: f32,
    /// What of the words could not be shown.
    pub warnings: Vec<PrintWarning>,
}

impl Layout {
    /// What must stand on the label and has no room.
    pub fn left_out(&self) -> Option<&str> {
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
    let (width, height) = (sheet.width.points(), sheet.height.points());
    let full = (modules + 2 * QUIET) as f32;
    let (fitted, mut warnings, origin, corner, module) = if sheet.round {
        let module = (0.25 * width / full).clamp(LEAST_MODULE * MM, LARGEST_MODULE);
        let radius = width / 2.0 - EDGE;
        // The symbol sits as low as its quiet zone stays on the disc.
        let half = full * module / 2.0;
        let reach = width / 2.0 - NEAR;
        let bottom = width / 2.0 + (reach * reach - half * half).max(0.0).sqrt();
        let corner = (width / 2.0 - half, bottom - full * module);
        let top = width / 2.0 - 0.86 * radius;
        let limits = move |from: f32, to: f32| {
            let far = (top + from - width / 2.0).abs().max((top + to - width / 2.0).abs());
            let chord = (radius * radius - far * far).max(0.0).sqrt();
            (width / 2.0 - chord, width / 2.0 + chord)
        };
        let shape = Shape { height: corner.1 - top, limits: &limits, centred: true };
        let sizes = Sizes { contents: 0.088 * width, code: 0.11 * width, details: 0.052 * width, lines: 2 };
        let (blocks, warnings) = blocks(face, label, order, sizes);
        (fit(face, blocks, &shape), warnings, (0.0, top), corner, module)
    } else {
        let module = (0.46 * height / full).clamp(LEAST_MODULE * MM, LARGEST_MODULE);
        let corner = (width - NEAR - full * module, height - NEAR - full * module);
        let limits = move |_: f32, to: f32| {
            let right = if EDGE + to > corner.1 { corner.0 } else { width - EDGE };
            (0.0, right - EDGE)
        };
        let shape = Shape { height: height - 2.0 * EDGE, limits: &limits, centred: false };
        let least = width.min(1.8 * height);
        let sizes = Sizes {
            contents: (0.082 * least).clamp(8.0, 22.0),
            code: (0.11 * least).clamp(10.0, 30.0),
            details: (0.047 * least).clamp(6.5, 11.0),
            lines: 3,
        };
        let (blocks, warnings) = blocks(face, label, order, sizes);
        (fit(face, blocks, &shape), warnings, (EDGE, EDGE), corner, module)
    };
    let told =
        |(text, shown): &(String, String)| PrintWarning::Cut { text: text.clone(), shown: shown.clone() };
    warnings.extend(fitted.cut.iter().map(told));
    let inset = QUIET as f32 * module;
    let code_block = usize::from(label.warning.is_some()) + 1;
    let symbol = (corner.0 + inset, corner.1 + inset);
    Layout { fitted, code_block, origin, symbol, module, warnings }
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
        let quiet = (layout.symbol.0 - inset, layout.symbol.1 - inset, side, side);
        let (left, top) = layout.origin;
        let lines = layout.fitted.lines.iter().map(|line| {
            let high = (ASCENT + DESCENT) * line.size;
            let wide = line.shaped.width * line.size;
            (left + line.x, top + line.baseline - ASCENT * line.size, wide, high)
        });
        let frames =
            layout.fitted.frames.iter().map(|frame| (left + frame.0, top + frame.1, frame.2, frame.3));
        let words: Vec<_> = lines.chain(frames).collect();
        // A hundredth of the width: words are measured one by one, lines are kerned as a whole.
        let slack = width / 100.0;
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
            .filter(|line| line.block == layout.code_block)
            .map(|line| line.shaped.text.as_str())
            .collect();
        assert_eq!(code, label.code.to_string(), "{}", sheet.name());
        assert!(layout.fitted.lines.iter().all(|line| line.size >= crate::paper::label::fit::shrink::FLOOR));
        assert!(layout.module >= LEAST_MODULE * MM);
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
                    must.extend(warning.map(str::to_owned));
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
    fn a_label_without_room_for_its_warning_is_refused() {
        let warning =
            Some("DO NOT EAT, on hold; NOT SEALED: keep in the refrigerator ").map(|text| text.repeat(9));
        let label = label("26-041-03-3", "Peas", None, warning.as_deref());
        let sheet = &built_in_sheets()[7];
        let layout = lay_out(&mut Typeface::new(), &label, DayOrder::DayMonthYear, sheet.spec(), 21);
        assert!(layout.left_out().is_some());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(16))]
        #[test]
        fn no_text_gets_out_of_its_label(contents in "\\PC{0,120}", warning in proptest::option::of(".{0,80}"), at in 0..10_usize) {
            let sheet = &built_in_sheets()[at];
            check(&mut Typeface::new(), sheet, &label("26-041-03-3", &contents, Some("boil 15 min before tasting"), warning.as_deref()), 21);
        }
    }
}
