//! Where the words and the symbol of one label go.

use crate::paper::font::Typeface;
use crate::paper::label::draw::run::{Label, LabelKind, PrintWarning};
use crate::paper::label::draw::symbol::{LEAST_MODULE, QUIET};
use crate::paper::label::fit::block::{Block, Cut, Fitted, Shape};
use crate::paper::label::fit::fill::fill;
use crate::paper::label::fit::shrink::fit;
use crate::paper::label::sheet::spec::SheetSpec;
use crate::paper::label::words::wording::{Sizes, Wording, wording};
use crate::values::time::day_words::DayOrder;

/// Points in a millimetre.
pub(in crate::paper) const MM: f32 = 72.0 / 25.4;
/// White kept along the edge of a label, in points: sheets feed askew.
const EDGE: f32 = 2.0 * MM;
/// White kept beside the quiet zone, in points.
const NEAR: f32 = 0.5 * MM;
/// Largest module, in points: a larger one scans no better at arm's length.
const LARGEST_MODULE: f32 = 1.0 * MM;
/// From the middle of a label to the end of its symbol at most: on a jar 7 cm across what lies further out
/// has turned away from the reader by more than 49 degrees (30 mm of a circle of 35 mm).
const FACING: f32 = 30.0 * MM;
/// Narrowest column of words beside a symbol in the middle.
const COLUMN: f32 = 25.0 * MM;
/// From this height on the symbol can stand under name and days.
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

/// The top left corner of a symbol's quiet zone, where there is a symbol.
type Corner = Option<(f32, f32)>;

/// The room of one label.
struct Area {
    width: f32,
    height: f32,
}

impl Area {
    /// Words in the middle above a symbol that sits as low as its quiet zone stays on the disc.
    fn disc(&self, face: &mut Typeface, worded: &Wording, side: f32) -> (Fitted, Corner) {
        let middle = self.width / 2.0;
        let reach = middle - NEAR;
        let bottom = middle + (reach * reach - side * side / 4.0).max(0.0).sqrt();
        let corner = (middle - side / 2.0, bottom - side);
        let top = self.top_of_disc();
        let limits = self.chords();
        let shape = Shape { height: corner.1 - top, limits: &limits, centred: true };
        (fill(face, worded.blocks(), &shape).moved(0.0, top), Some(corner))
    }

    /// Where the first line of a disc may begin.
    fn top_of_disc(&self) -> f32 {
        let middle = self.width / 2.0;
        middle - 0.86 * (middle - EDGE)
    }

    /// How far lines of a disc reach, between two heights below its first.
    fn chords(&self) -> impl Fn(f32, f32) -> (f32, f32) {
        let (middle, top) = (self.width / 2.0, self.top_of_disc());
        let radius = middle - EDGE;
        move |from: f32, to: f32| {
            let far = (top + from - middle).abs().max((top + to - middle).abs());
            let chord = (radius * radius - far * far).max(0.0).sqrt();
            (middle - chord, middle + chord)
        }
    }

    /// Words in the middle of a label without a symbol.
    fn words_alone(&self, face: &mut Typeface, worded: &Wording, round: bool) -> Fitted {
        let chords = self.chords();
        let straight = |_: f32, _: f32| (EDGE, self.width - EDGE);
        let top = if round { self.top_of_disc() } else { EDGE };
        let limits: &dyn Fn(f32, f32) -> (f32, f32) = if round { &chords } else { &straight };
        let shape = Shape { height: self.height - 2.0 * top, limits, centred: true };
        fill(face, worded.blocks(), &shape).moved(0.0, top)
    }

    /// Words down the left, the first lines as wide as the label where they end above the symbol.
    fn column(&self, face: &mut Typeface, worded: &Wording, side: f32) -> (Fitted, Corner) {
        let right = (self.width - NEAR).min(self.width / 2.0 + FACING);
        let corner = (right - side, self.height - NEAR - side);
        let limits = |_: f32, to: f32| {
            let right = if EDGE + to > corner.1 { corner.0 } else { self.width - EDGE };
            (0.0, right - EDGE)
        };
        let shape = Shape { height: self.height - 2.0 * EDGE, limits: &limits, centred: false };
        let mut fitted = fill(face, worded.blocks(), &shape);
        if worded.safety.is_empty() {
            fitted.halfway(worded.head.len());
        }
        (fitted.moved(EDGE, EDGE), Some(corner))
    }

    /// On a label wide enough: name and days above, the symbol in the middle, its number to the left of it
    /// and to the right what must be known; none where a column is too narrow.
    fn columns(&self, face: &mut Typeface, worded: &Wording, side: f32) -> Option<(Fitted, Corner)> {
        let corner = ((self.width - side) / 2.0, self.height - NEAR - side);
        let column = corner.0 - EDGE;
        if column < COLUMN || self.height < TALL {
            return None;
        }
        let upright = |width: f32| move |_: f32, _: f32| (0.0, width);
        let across = upright(self.width - 2.0 * EDGE);
        let head = Shape { height: corner.1 - EDGE, limits: &across, centred: false };
        let words = fill(face, worded.head.clone(), &head);
        let spare = (head.height - words.bottom()) / 2.0;
        let mut fitted = words.moved(EDGE, EDGE + spare);
        let beside = upright(column);
        let shape = Shape { height: side, limits: &beside, centred: false };
        let behind = worded.head.len();
        for (blocks, x, behind) in
            [(&worded.safety, corner.0 + side, behind), (&worded.number, EDGE, behind + worded.safety.len())]
        {
            // In the middle of a column, each on lines of its own.
            let alone = |block: &Block| match block.cut {
                Cut::Unsaid => Block { cut: Cut::End, joins: false, ..block.clone() },
                _ => Block { sinks: false, ..block.clone() },
            };
            let words = fit(face, blocks.iter().map(alone).collect(), &shape);
            let spare = (side - words.bottom()) / 2.0;
            fitted.add(words.moved(x, corner.1 + spare), behind);
        }
        (fitted.left_out.is_none()).then_some((fitted, Some(corner)))
    }
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
        let words: Vec<_> = lines.chain(layout.fitted.frames.iter().copied()).collect();
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
            .filter(|line| Some(line.block) == layout.number_block)
            .map(|line| line.shaped.text.as_str())
            .collect();
        assert_eq!(code, label.code.to_string(), "{}", sheet.name());
        assert!(layout.fitted.lines.iter().all(|line| line.size >= crate::paper::label::fit::block::FLOOR));
        assert!(layout.module >= LEAST_MODULE * MM);
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
