//! The words on a label, block by block.

use crate::paper::font::{Typeface, Weight};
use crate::paper::label::draw::run::Label;
use crate::paper::label::draw::run::PrintWarning;
use crate::paper::label::fit::shrink::{Block, Cut, FLOOR};
use crate::paper::label::words::printable::{Printable, mark, printable};
use crate::rules::load::process_record::VOUCHED;
use crate::values::time::day_words::DayOrder;

/// What the boil line goes without where room is short.
pub(in crate::paper) const BEFORE_TASTING: &str = " before tasting";
/// Smallest jar code: the figures that are looked for on a shelf.
const CODE_FLOOR: f32 = 9.0;
/// Longest jar code that keeps to it; longer ones come after 999 batches in a year.
const USUAL_CODE: usize = 12;

/// Sizes wanted, in points.
#[derive(Debug, Clone, Copy)]
pub(in crate::paper) struct Sizes {
    pub contents: f32,
    pub code: f32,
    pub details: f32,
    /// Lines a name may take before it shrinks.
    pub lines: usize,
}

/// The blocks of a label from top to bottom, and what of its words cannot be shown.
pub(in crate::paper) fn blocks(
    face: &Typeface,
    label: &Label,
    order: DayOrder,
    sizes: Sizes,
) -> (Vec<Block>, Vec<PrintWarning>) {
    let mut warnings = Vec::new();
    let mut blocks = Vec::new();
    if let Some(warning) = &label.warning {
        let text = told(face, warning, &mut warnings).text;
        blocks.push(Block {
            framed: true,
            lines: 2,
            cut: Cut::Never,
            ..detail(text, Weight::Bold, sizes.details.max(FLOOR + 1.0))
        });
    }
    let name = told(face, &label.contents, &mut warnings);
    let mark = mark(&label.contents);
    // Boxes and stand-ins look alike whatever they stand for.
    let alike = name.replaced || !name.missing.is_empty();
    let text = if alike { format!("{} {mark}", name.text) } else { name.text };
    blocks.push(Block {
        lines: sizes.lines,
        cut: Cut::Middle { mark },
        ..detail(text, Weight::Bold, sizes.contents)
    });
    let code = label.code.to_string();
    let floor = if code.len() > USUAL_CODE { FLOOR } else { CODE_FLOOR };
    blocks.push(Block { floor, cut: Cut::Never, ..detail(code, Weight::Bold, sizes.code) });
    let first = blocks.len();
    let never_cut = |text: String, short: Option<String>| Block {
        cut: Cut::Never,
        short,
        ..detail(text, Weight::Regular, sizes.details)
    };
    blocks.push(never_cut(format!("Put up {}", order.write(label.put_up)), Some(order.write(label.put_up))));
    let keeps = label.keeps.in_words(|day| order.write(day)).map(|text| capitalised(&text));
    blocks.extend(keeps.map(|text| never_cut(text, None)));
    if let Some(line) = &label.household {
        let text = told(face, line, &mut warnings).text;
        let short = text.strip_suffix(BEFORE_TASTING).map(str::to_owned);
        blocks.push(never_cut(text, short));
    }
    if let Some(mark) = label.process.in_words() {
        let text = told(face, &mark, &mut warnings).text;
        // The household's word may be long; that it is a word and no process on record is said anyway.
        let short = label.process.vouched.is_some().then(|| capitalised(VOUCHED));
        blocks.push(never_cut(capitalised(&text), short));
    }
    let batch = format!("Batch {} \u{b7} {}", label.code.batch, label.size);
    blocks.push(detail(batch, Weight::Regular, sizes.details));
    if let Some(because) = &label.because {
        let text = told(face, because, &mut warnings).text;
        blocks.push(Block { lines: 2, ..detail(text, Weight::Regular, sizes.details) });
    }
    blocks[first].sinks = true;
    blocks[first].gap = 1.0;
    (blocks, warnings)
}

/// A line of its own begins with a capital.
fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn detail(text: String, weight: Weight, size: f32) -> Block {
    let (floor, cut) = (FLOOR, Cut::End);
    Block { text, short: None, weight, size, floor, lines: 1, cut, framed: false, gap: 0.0, sinks: false }
}

/// Makes a text printable and notes what it lost.
fn told(face: &Typeface, given: &str, warnings: &mut Vec<PrintWarning>) -> Printable {
    let ready = printable(face, given);
    if !ready.missing.is_empty() {
        warnings.push(PrintWarning::Missing { text: ready.text.clone(), characters: ready.missing.clone() });
    }
    if ready.replaced {
        warnings.push(PrintWarning::Replaced { text: ready.text.clone() });
    }
    ready
}
