//! Where the words and the symbol of one label go.

use super::Label;
use super::fit::{Fitted, Shape, fit};
use super::run::PrintWarning;
use super::sheet::SheetSpec;
use super::symbol::{LEAST_MODULE, QUIET};
use super::wording::{Sizes, blocks};
use crate::paper::font::Typeface;
use crate::rules::day_words::DayOrder;

/// White kept along the edge of a label, in points (2 mm): sheets feed askew.
const EDGE: f32 = 5.67;
/// White kept beside the quiet zone, in points (0.5 mm).
const NEAR: f32 = 1.42;
/// Points in a millimetre.
pub(super) const MM: f32 = 72.0 / 25.4;
/// Largest module, in points (0.6 mm): a larger one scans no better at arm's length.
const LARGEST_MODULE: f32 = 0.6 * MM;

/// One label, ready to draw; everything in points from its top left corner.
#[derive(Debug)]
pub(super) struct Layout {
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

/// Lays out a label on a sheet; `modules` is the side of its symbol.
pub(super) fn lay_out(
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
