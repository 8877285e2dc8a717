//! Texts on their way onto paper: what each may lose, the shape they flow into, and where their lines come to stand.

use std::rc::Rc;

use crate::paper::font::{ASCENT, DESCENT, Shaped, Weight};

/// Points in a millimetre.
pub(in crate::paper) const MM: f32 = 72.0 / 25.4;
/// Smallest type on a label, in points; smaller is not read at arm's length
/// (common practice, no source).
pub(in crate::paper) const FLOOR: f32 = 6.0;

/// How a text that is too long for its shape is cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::paper) enum Cut {
    /// Nothing may go: it stands whole, in its short form where it has one, or the label is refused.
    Never,
    /// The end goes, and where that is not enough all of it.
    End,
    /// It stands beside the block above it where there is room, and else not at all.
    Unsaid,
    /// The middle goes, and a mark of the whole text is added.
    Middle { mark: String },
}

/// A text with one look.
#[derive(Debug, Clone)]
pub(in crate::paper) struct Block {
    pub text: String,
    /// What stands for the text where room is short.
    pub short: Option<String>,
    pub weight: Weight,
    /// Size wanted, in points.
    pub size: f32,
    /// Smallest size taken.
    pub floor: f32,
    /// Whether it grows with the room there is.
    pub grows: bool,
    /// Lines it may take before it reaches its floor.
    pub lines: usize,
    pub cut: Cut,
    /// Whether a frame is drawn around it.
    pub framed: bool,
    /// White kept above it, in points.
    pub gap: f32,
    /// Whether a share of the spare height goes above it.
    pub sinks: bool,
    /// Whether it stands beside the block above it where there is room.
    pub joins: bool,
}

impl Block {
    /// A text on one line that may lose its end.
    pub fn plain(text: String, weight: Weight, size: f32) -> Self {
        let (floor, cut) = (FLOOR, Cut::End);
        Self {
            text,
            short: None,
            weight,
            size,
            floor,
            grows: false,
            lines: 1,
            cut,
            framed: false,
            gap: 0.0,
            sinks: false,
            joins: false,
        }
    }
}

/// A shape that text flows into: the left and right limits between two heights,
/// both measured down from its top, in points.
pub(in crate::paper) struct Shape<'a> {
    pub height: f32,
    pub limits: &'a dyn Fn(f32, f32) -> (f32, f32),
    pub centred: bool,
}

/// One line in its place; `x` and `baseline` from the shape's top left.
#[derive(Debug, Clone)]
pub(in crate::paper) struct Line {
    /// Which block it belongs to.
    pub block: usize,
    pub shaped: Rc<Shaped>,
    pub weight: Weight,
    pub size: f32,
    pub x: f32,
    pub baseline: f32,
}

/// A frame: left, top, width, height.
pub(in crate::paper) type Frame = (f32, f32, f32, f32);

/// Blocks in their places.
#[derive(Debug, Default)]
pub(in crate::paper) struct Fitted {
    pub lines: Vec<Line>,
    pub frames: Vec<Frame>,
    /// Whether a line ends inside a word.
    pub splits: bool,
    /// Texts that lost some of their letters, and what is left of them.
    pub cut: Vec<(String, String)>,
    /// The first text that may lose nothing and found no room.
    pub left_out: Option<String>,
}

impl Fitted {
    /// Whether nothing was cut, left out or broken inside a word.
    pub(in crate::paper::label) fn is_whole(&self) -> bool {
        self.cut.is_empty() && self.left_out.is_none() && !self.splits
    }

    /// How far down the lowest line reaches.
    pub fn bottom(&self) -> f32 {
        self.lines.iter().map(|line| line.baseline + DESCENT * line.size).fold(0.0, f32::max)
    }

    /// Moves everything right and down.
    pub fn moved(mut self, x: f32, y: f32) -> Self {
        for line in &mut self.lines {
            (line.x, line.baseline) = (line.x + x, line.baseline + y);
        }
        for frame in &mut self.frames {
            (frame.0, frame.1) = (frame.0 + x, frame.1 + y);
        }
        self
    }

    /// Moves the lines from a block on up by half of the white above them.
    pub(crate) fn halfway(&mut self, block: usize) {
        let above = |line: &&Line| line.block < block;
        let end = self
            .lines
            .iter()
            .filter(above)
            .map(|line| line.baseline + DESCENT * line.size)
            .fold(0.0, f32::max);
        let below = |line: &&mut Line| line.block >= block;
        let top =
            self.lines.iter().find(|line| line.block >= block).map(|line| line.baseline - ASCENT * line.size);
        let half = (top.unwrap_or(end) - end) / 2.0;
        self.lines.iter_mut().filter(below).for_each(|line| line.baseline -= half);
    }

    /// Adds what was fitted elsewhere, behind `blocks` blocks of this one.
    pub fn add(&mut self, other: Self, blocks: usize) {
        let lines = other.lines.into_iter().map(|line| Line { block: line.block + blocks, ..line });
        self.lines.extend(lines);
        self.frames.extend(other.frames);
        self.splits |= other.splits;
        self.cut.extend(other.cut);
        self.left_out = self.left_out.take().or(other.left_out);
    }
}
