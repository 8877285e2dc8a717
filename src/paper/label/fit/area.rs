//! The ways in which words and symbol share a label: a disc, columns, one column, words alone.

use crate::paper::font::Typeface;
use crate::paper::label::fit::fill::{fill, is_name};
use crate::paper::label::fit::setting::LEADING;
use crate::paper::label::fit::shrink::fit;
use crate::paper::label::words::block::{Block, Cut, Fitted, MM, Shape};
use crate::paper::label::words::wording::{NAME, Wording};

/// White kept along the edge of a label, in points: sheets feed askew.
const EDGE: f32 = 2.0 * MM;
/// White kept beside the quiet zone, in points.
const NEAR: f32 = 0.5 * MM;
/// From the middle of a label to the end of its symbol at most: on a jar 7 cm across what lies further out
/// has turned away from the reader by more than 49 degrees (30 mm of a circle of 35 mm).
const FACING: f32 = 30.0 * MM;
/// Up to this width a label faces its reader from edge to edge, wherever its symbol stands.
const NARROW: f32 = 60.0 * MM;

/// Height of a warning in its frame, in lines of its size.
const FRAME: f32 = 1.4;

/// The top left corner of a symbol's quiet zone, where there is a symbol.
pub(super) type Corner = Option<(f32, f32)>;

/// The room of one label.
pub(super) struct Area {
    pub width: f32,
    pub height: f32,
}

impl Area {
    /// Words in the middle above a symbol that sits as low as its quiet zone stays on the disc.
    pub(super) fn disc(&self, face: &mut Typeface, worded: &Wording, side: f32) -> (Fitted, Corner) {
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
    pub(super) fn words_alone(&self, face: &mut Typeface, worded: &Wording, round: bool) -> Fitted {
        let chords = self.chords();
        let straight = |_: f32, _: f32| (EDGE, self.width - EDGE);
        let top = if round { self.top_of_disc() } else { EDGE };
        let limits: &dyn Fn(f32, f32) -> (f32, f32) = if round { &chords } else { &straight };
        let shape = Shape { height: self.height - 2.0 * top, limits, centred: true };
        fill(face, worded.blocks(), &shape).moved(0.0, top)
    }

    /// Words down the left, the first lines as wide as the label where they end above the symbol.
    pub(super) fn column(&self, face: &mut Typeface, worded: &Wording, side: f32) -> (Fitted, Corner) {
        let right = (self.width - NEAR).min(self.width / 2.0 + FACING);
        let corner = (right - side, self.height - NEAR - side);
        let limits = |_: f32, to: f32| {
            let right = if EDGE + to > corner.1 { corner.0 } else { self.width - EDGE };
            (0.0, right - EDGE)
        };
        let shape = Shape { height: self.height - 2.0 * EDGE, limits: &limits, centred: false };
        let mut blocks = worded.blocks();
        let keeps = worded.head.len() - 1;
        let alone = worded.safety.is_empty() && blocks[keeps].joins;
        if alone {
            // With nothing to heed beside the symbol, there is room for until when it keeps.
            (blocks[keeps].joins, blocks[keeps].sinks, blocks[keeps + 1].sinks) = (false, true, false);
        }
        let mut fitted = fill(face, blocks, &shape);
        if worded.safety.is_empty() {
            fitted.halfway(worded.head.len() - usize::from(alone));
        }
        (fitted.moved(EDGE, EDGE), Some(corner))
    }

    /// On a label wide enough: name and days above, the symbol in the middle, its number to the left of it
    /// and to the right what must be known; none where something does not go in whole and at the size wanted.
    pub(super) fn columns(
        &self,
        face: &mut Typeface,
        worded: &Wording,
        side: f32,
    ) -> Option<(Fitted, Corner)> {
        let corner = ((self.width - side) / 2.0, self.height - NEAR - side);
        let column = corner.0 - EDGE;
        let day = worded.head.iter().position(is_name).map_or(0, |name| name + 1);
        let wanted = worded.head.get(day).map_or(0.0, |day| day.size);
        let high = corner.1 - EDGE;
        let frames = worded.head.iter().filter(|block| block.framed).count() as f32;
        if self.width <= NARROW || high < LEADING * (NAME + 1.0 + FRAME * frames) * wanted {
            return None;
        }
        let upright = |width: f32| move |_: f32, _: f32| (0.0, width);
        let across = upright(self.width - 2.0 * EDGE);
        let head = Shape { height: high, limits: &across, centred: false };
        let words = fill(face, worded.head.clone(), &head);
        let spare = (head.height - words.bottom()) / 2.0;
        let mut fitted = words.moved(EDGE, EDGE + spare);
        let narrow = upright(column);
        let shape = Shape { height: side, limits: &narrow, centred: false };
        let behind = worded.head.len();
        let most = fitted.lines.iter().find(|line| line.block == day).map_or(0.0, |line| line.size);
        if most < wanted {
            return None;
        }
        let (right, number) = (corner.0 + side, behind + worded.safety.len());
        // With nothing to heed on the right, the size of the jar stands there.
        let beside = if worded.safety.is_empty() { 1 } else { worded.number.len() };
        for (blocks, x, behind) in [
            (worded.safety.as_slice(), right, behind),
            (&worded.number[..beside], EDGE, number),
            (&worded.number[beside..], right, number + beside),
        ] {
            // In the middle of a column, each on lines of its own and no larger than the day above.
            let alone = |block: &Block| {
                let (size, floor) = (block.size.min(most), block.floor.min(most));
                let cut = if block.cut == Cut::Unsaid { Cut::End } else { block.cut.clone() };
                Block { size, floor, cut, joins: false, sinks: false, ..block.clone() }
            };
            let words = fit(face, blocks.iter().map(alone).collect(), &shape);
            let spare = (side - words.bottom()) / 2.0;
            fitted.add(words.moved(x, corner.1 + spare), behind);
        }
        fitted.is_whole().then_some((fitted, Some(corner)))
    }
}
