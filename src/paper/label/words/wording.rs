//! The words on a label, block by block.

use crate::paper::font::{Typeface, Weight};
use crate::paper::label::words::block::{Block, Cut, FLOOR};
use crate::paper::label::words::printable::{Printable, mark, printable};
use crate::paper::label::words::run::{Label, LabelKind, PrintWarning};
use crate::values::time::day_words::DayOrder;

/// What the boil line goes without where room is short.
pub(in crate::paper) const BEFORE_TASTING: &str = " before tasting";
/// What a longer warning comes down to where nothing else is left to go.
const DO_NOT_EAT: &str = "DO NOT EAT";
/// The number of a jar, in points: as large as it is read in the hand, beside its code.
const NUMBER: f32 = 10.0;
/// Its smallest size; what is typed from a label is not squinted at.
const NUMBER_FLOOR: f32 = 9.0;
/// Longest number that keeps to it; longer ones come after 999 batches in a year.
const USUAL_NUMBER: usize = 12;
/// The name against the day put up, before either grows.
pub(in crate::paper::label) const NAME: f32 = 1.25;
/// Best by against the day put up.
const KEEPS: f32 = 0.62;

/// How a jar that is given away is kept once it is open.
const AFTER_OPENING: &str = "Keep in the refrigerator after opening";
/// Lines that what is in a jar may take before it shrinks.
const INGREDIENT_LINES: usize = 5;

/// Sizes wanted, in points.
#[derive(Debug, Clone, Copy)]
pub(in crate::paper) struct Sizes {
    /// The day put up; the name is larger by a quarter.
    pub day: f32,
    pub details: f32,
    /// Lines a name may take before it shrinks.
    pub lines: usize,
}

/// The blocks of a label, and what of its words cannot be shown.
pub(in crate::paper) struct Wording {
    /// What it is and when it was put up: warning, name, day, best by.
    pub head: Vec<Block>,
    /// What the household must know of it.
    pub safety: Vec<Block>,
    /// The jar's number and size.
    pub number: Vec<Block>,
    pub warnings: Vec<PrintWarning>,
}

impl Wording {
    /// All blocks from top to bottom.
    pub fn blocks(&self) -> Vec<Block> {
        [self.head.as_slice(), &self.safety, &self.number].concat()
    }
}

/// The blocks of a label.
pub(in crate::paper) fn wording(face: &Typeface, label: &Label, order: DayOrder, sizes: Sizes) -> Wording {
    let mut warnings = Vec::new();
    let mut head = Vec::new();
    if let Some(warning) = &label.warning {
        let text = prepared(face, warning, &mut warnings).text;
        let short = text.starts_with(DO_NOT_EAT).then(|| DO_NOT_EAT.to_owned());
        head.push(Block {
            short,
            framed: true,
            // A lid has nothing else to say in large type but its number.
            grows: label.kind == LabelKind::Lid,
            lines: 2,
            cut: Cut::Never,
            ..Block::plain(text, Weight::Bold, sizes.details.max(FLOOR + 1.0))
        });
    }
    if label.kind == LabelKind::Lid {
        head.extend(on_lid(label, sizes));
        return Wording { head, safety: vec![], number: vec![], warnings };
    }
    head.push(name(face, &label.contents, sizes, &mut warnings));
    let put_up = order.write(label.put_up);
    let keeps = label.keeps.in_words(|day| order.write(day));
    // A day that stands alone says of what.
    let (day, short) =
        if keeps.is_some() { (put_up, None) } else { (format!("Put up {put_up}"), Some(put_up)) };
    head.push(Block {
        short,
        cut: Cut::Never,
        grows: true,
        floor: sizes.day,
        ..Block::plain(day, Weight::Bold, sizes.day)
    });
    head.extend(keeps.map(|text| Block {
        cut: Cut::Never,
        grows: true,
        joins: true,
        ..Block::plain(text, Weight::Regular, (KEEPS * sizes.day).max(FLOOR))
    }));
    let mut safety = Vec::new();
    let never_cut = |text: String, short: Option<String>| Block {
        cut: Cut::Never,
        short,
        lines: 2,
        ..Block::plain(text, Weight::Regular, sizes.details)
    };
    if let Some(line) = &label.household {
        let text = prepared(face, line, &mut warnings).text;
        let short = text.strip_suffix(BEFORE_TASTING).map(str::to_owned);
        safety.push(never_cut(text, short));
    }
    if let Some(mark) = label.process.in_words() {
        let text = prepared(face, &mark, &mut warnings).text;
        // The mark may be long; that it is the household's own or its word is said anyway.
        let short = label.process.in_short().map(capitalised);
        safety.push(never_cut(capitalised(&text), short));
    }
    if let Some(because) = &label.because {
        let text = prepared(face, because, &mut warnings).text;
        safety.push(Block { lines: 2, ..Block::plain(text, Weight::Regular, sizes.details) });
    }
    if let LabelKind::Gift { ingredients } = &label.kind {
        safety.push(never_cut(AFTER_OPENING.to_owned(), None));
        match ingredients {
            // Somebody may not eat what is left out.
            Some(words) => {
                let text = format!("Ingredients: {}", prepared(face, words, &mut warnings).text);
                safety.push(Block { lines: INGREDIENT_LINES, ..never_cut(text, None) });
            }
            None => warnings.push(PrintWarning::Ingredients { batch: label.code.batch }),
        }
    }
    safety.iter_mut().take(1).for_each(|block| block.sinks = true);
    let number = if label.kind == LabelKind::Shelf { number(label, sizes) } else { vec![] };
    Wording { head, safety, number, warnings }
}

/// What stands on a lid: number and month.
fn on_lid(label: &Label, sizes: Sizes) -> [Block; 2] {
    let block = |text: String, size: f32| Block {
        cut: Cut::Never,
        grows: true,
        ..Block::plain(text, Weight::Bold, size)
    };
    [
        block(label.code.to_string(), NUMBER_FLOOR),
        block(label.put_up.format("%b %Y").to_string(), sizes.day.min(NUMBER_FLOOR)),
    ]
}

/// The name, the largest of all.
fn name(face: &Typeface, given: &str, sizes: Sizes, warnings: &mut Vec<PrintWarning>) -> Block {
    let name = prepared(face, given, warnings);
    let mark = mark(given);
    // Boxes and stand-ins look alike whatever they stand for.
    let alike = name.replaced || !name.missing.is_empty();
    let text = if alike { format!("{} {mark}", name.text) } else { name.text };
    Block {
        lines: sizes.lines,
        cut: Cut::Middle { mark },
        grows: true,
        ..Block::plain(text, Weight::Bold, NAME * sizes.day)
    }
}

/// The number by which a jar is looked up, and its size where there is room.
fn number(label: &Label, sizes: Sizes) -> Vec<Block> {
    let code = label.code.to_string();
    let floor = if code.len() > USUAL_NUMBER { FLOOR } else { NUMBER_FLOOR };
    let number = Block {
        floor,
        cut: Cut::Never,
        sinks: true,
        ..Block::plain(code, Weight::Bold, NUMBER.min(sizes.day))
    };
    let size = Block {
        cut: Cut::Unsaid,
        joins: true,
        ..Block::plain(label.size.to_string(), Weight::Regular, sizes.details.min(NUMBER))
    };
    vec![number, size]
}

/// A line of its own begins with a capital.
fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Makes a text printable and notes what it lost.
fn prepared(face: &Typeface, given: &str, warnings: &mut Vec<PrintWarning>) -> Printable {
    let ready = printable(face, given);
    warnings.extend(ready.warnings());
    ready
}
