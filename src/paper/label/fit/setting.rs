//! Lines of text flowing into a shape at given sizes.

use unicode_segmentation::UnicodeSegmentation;

use crate::paper::font::parts::is_leftward;
use crate::paper::font::{ASCENT, DESCENT, Typeface};
use crate::paper::label::words::block::{Block, Cut, Frame, Line, Shape};
use crate::paper::label::words::breaks::break_at;

/// Baseline to baseline, at a size of 1.
pub(super) const LEADING: f32 = ASCENT + DESCENT;
/// White above and below the words in a frame, in points.
const FRAME_PAD: f32 = 1.5;
/// White left and right of the words in a frame.
const FRAME_SIDE: f32 = 3.0;
/// A text of several lines may take one more for each of these it shrank, in points.
const LINE_MORE: f32 = 2.5;
/// How many heights are tried for words that do not fit at the top of a disc.
const HEIGHTS: usize = 5;
/// White before a text that stands beside another, at a size of 1.
const BESIDE: f32 = 0.7;

/// Blocks in their places at given sizes.
pub(super) struct Laid {
    pub lines: Vec<Line>,
    pub frames: Vec<Frame>,
    pub above: f32,
    pub used: f32,
    /// The blocks that did not get all their text into the lines they may take.
    pub over: Vec<usize>,
    /// Lines each block took.
    pub counts: Vec<usize>,
    /// How many blocks stand beside another.
    pub joined: usize,
    /// Whether a line ends inside a word.
    pub splits: bool,
}

impl Laid {
    /// Whether this layout may take the place of another: where texts are centred, with fewer lines, or with as many nearer
    /// to the middle of the shape; else with as many blocks beside others.
    pub(crate) fn is_better(&self, other: &Self, shape: &Shape<'_>) -> bool {
        if !shape.centred {
            return self.joined >= other.joined;
        }
        let lines = |laid: &Self| laid.counts.iter().sum::<usize>() - laid.joined;
        let off = |laid: &Self| (laid.above + laid.used - shape.height).abs();
        (lines(self), off(self)) < (lines(other), off(other))
    }

    /// Puts a text beside the last line, where there is room.
    fn join(&mut self, face: &mut Typeface, at: usize, block: &Block, size: f32, shape: &Shape<'_>) -> bool {
        let Some(last) = self.lines.last_mut().filter(|last| last.block + 1 == at) else { return false };
        let shaped = face.shape(block.weight, &block.text);
        let top = last.baseline - ASCENT * last.size;
        let (left, right) = (shape.limits)(top, top + LEADING * last.size);
        let beside = last.shaped.width * last.size + BESIDE * size;
        let slack = right - left - beside - shaped.width * size;
        if slack < 0.0 || size > last.size {
            return false;
        }
        if shape.centred {
            last.x = left + slack / 2.0;
        }
        let (x, baseline) = (last.x + beside, last.baseline);
        self.lines.push(Line { block: at, shaped, weight: block.weight, size, x, baseline });
        self.joined += 1;
        true
    }
}

/// Blocks at their present sizes, on their way into a shape.
#[derive(Clone)]
pub(super) struct Setting<'a> {
    pub blocks: Vec<Block>,
    pub sizes: Vec<f32>,
    pub limits: Vec<usize>,
    /// Share of the width each block takes.
    pub shares: Vec<f32>,
    pub shape: &'a Shape<'a>,
}

/// The lines of a block: each with its left and right limits.
struct Wrapped<'t> {
    lines: Vec<(&'t str, f32, f32)>,
    /// Whether all of the text went in.
    whole: bool,
    /// Whether a line ends inside a word.
    splits: bool,
}

impl<'a> Setting<'a> {
    pub fn new(blocks: Vec<Block>, shape: &'a Shape<'a>) -> Self {
        Self {
            sizes: blocks.iter().map(|block| block.size).collect(),
            limits: blocks.iter().map(|block| block.lines).collect(),
            shares: vec![1.0; blocks.len()],
            blocks,
            shape,
        }
    }

    /// Places every block at its present size; `above` and `between` are white put
    /// above the first and above each sinking block.
    pub(crate) fn lay(&self, face: &mut Typeface, (above, between): (f32, f32)) -> Laid {
        let mut laid = Laid {
            lines: vec![],
            frames: vec![],
            above,
            used: above,
            over: vec![],
            counts: vec![],
            joined: 0,
            splits: false,
        };
        for (at, block) in self.blocks.iter().enumerate() {
            if block.joins && laid.join(face, at, block, self.sizes[at], self.shape) {
                laid.counts.push(1);
                continue;
            }
            if block.cut == Cut::Unsaid {
                laid.counts.push(0);
                continue;
            }
            self.stack(face, at, between, &mut laid);
        }
        laid
    }

    /// Places every block as high as all of them fit; at the top where they fit nowhere.
    pub(crate) fn lay_high(&self, face: &mut Typeface) -> Laid {
        let top = self.lay(face, (0.0, 0.0));
        let spare = self.shape.height - top.used;
        if self.fits(&top) || !self.shape.centred || spare < 0.0 {
            return top;
        }
        let lower = |step: usize| spare * step as f32 / HEIGHTS as f32;
        let mut tried = (1..=HEIGHTS).map(|step| self.lay(face, (lower(step), 0.0)));
        tried.find(|laid| self.fits(laid)).unwrap_or(top)
    }

    /// Places one block under what is laid already.
    fn stack(&self, face: &mut Typeface, at: usize, between: f32, laid: &mut Laid) {
        let (block, size) = (&self.blocks[at], self.sizes[at]);
        laid.used += block.gap + if block.sinks { between } else { 0.0 };
        let top = laid.used;
        let pad = if block.framed { (FRAME_PAD, FRAME_SIDE) } else { (0.0, 0.0) };
        laid.used += pad.0;
        let wrapped = self.wrap(face, at, laid.used, pad.1);
        if !wrapped.whole {
            laid.over.push(at);
        }
        laid.splits |= wrapped.splits;
        laid.counts.push(wrapped.lines.len());
        let leftward = is_leftward(&block.text);
        let mut frame: Option<(f32, f32)> = None;
        for (text, left, right) in wrapped.lines {
            let shaped = face.shape_line(block.weight, text, leftward);
            let slack = (right - left - shaped.width * size).max(0.0);
            let x = if self.shape.centred { left + slack / 2.0 } else { left };
            let end = x + shaped.width * size;
            frame = Some(frame.map_or((x, end), |(from, to)| (from.min(x), to.max(end))));
            let baseline = laid.used + ASCENT * size;
            laid.lines.push(Line { block: at, shaped, weight: block.weight, size, x, baseline });
            laid.used += LEADING * size;
        }
        laid.used += pad.0;
        if let (true, Some((from, to))) = (block.framed, frame) {
            laid.frames.push((from - FRAME_SIDE, top, to - from + 2.0 * FRAME_SIDE, laid.used - top));
            laid.used += FRAME_PAD;
        }
    }

    /// Whether everything went in; a hundredth of a point is no overflow.
    pub fn fits(&self, laid: &Laid) -> bool {
        laid.over.is_empty() && laid.used <= self.shape.height + 0.01
    }

    /// Breaks a block into lines from a height on.
    fn wrap(&self, face: &mut Typeface, at: usize, from: f32, side: f32) -> Wrapped<'_> {
        let high = LEADING * self.sizes[at];
        if !self.blocks[at].framed {
            return self.wrap_in(face, at, side, |line| {
                let top = from + line as f32 * high;
                (self.shape.limits)(top, top + high)
            });
        }
        // A frame is one box: what its lowest line leaves free beside it is all that the first may take.
        let mut lines = 1;
        loop {
            let box_limits = (self.shape.limits)(from - FRAME_PAD, from + lines as f32 * high + FRAME_PAD);
            let wrapped = self.wrap_in(face, at, side, |_| box_limits);
            if wrapped.lines.len() <= lines {
                return wrapped;
            }
            lines = wrapped.lines.len();
        }
    }

    /// Breaks a block into lines between the limits of each.
    fn wrap_in(
        &self,
        face: &mut Typeface,
        at: usize,
        side: f32,
        limits: impl Fn(usize) -> (f32, f32),
    ) -> Wrapped<'_> {
        let (block, size, share) = (&self.blocks[at], self.sizes[at], self.shares[at]);
        let shrank = if block.lines > 1 { (block.size - size) / LINE_MORE } else { 0.0 };
        let most = self.limits[at].saturating_add(shrank as usize);
        let mut wrapped = Wrapped { lines: vec![], whole: false, splits: false };
        let leftward = is_leftward(&block.text);
        let mut rest = block.text.as_str();
        while !rest.is_empty() {
            if wrapped.lines.len() == most {
                return wrapped;
            }
            let (left, right) = limits(wrapped.lines.len());
            let unused = (right - left) * (1.0 - share);
            let (left, right) = if self.shape.centred {
                (left + side + unused / 2.0, right - side - unused / 2.0)
            } else {
                (left + side, right - side - unused)
            };
            let end = break_at(face, block.weight, rest, leftward, (right - left) / size);
            if end == 0 {
                return wrapped;
            }
            let (line, after) = rest.split_at(end);
            if end < rest.len() && rest.split_word_bound_indices().all(|(bound, _)| bound != end) {
                // Smaller letters come before a word in two parts.
                if size > block.floor {
                    return wrapped;
                }
                wrapped.splits = true;
            }
            wrapped.lines.push((line.trim_end(), left, right));
            rest = after.trim_start();
        }
        wrapped.whole = true;
        wrapped
    }
}
