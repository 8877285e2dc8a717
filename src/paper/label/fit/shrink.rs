//! Fits lines of text into a shape: shrinks to a floor, wraps, and cuts only then.

use std::rc::Rc;

use crate::paper::font::{ASCENT, DESCENT, Shaped, Typeface, Weight};
use crate::paper::label::words::breaks::break_at;

/// Smallest type on a label, in points; smaller is not read at arm's length
/// (common practice, no source).
pub(in crate::paper) const FLOOR: f32 = 6.0;
/// Baseline to baseline, at a size of 1.
const LEADING: f32 = ASCENT + DESCENT;
/// White above and below the words in a frame, in points.
const FRAME_PAD: f32 = 1.5;
/// White left and right of the words in a frame.
const FRAME_SIDE: f32 = 3.0;
/// One step of shrinking, in points.
const STEP: f32 = 0.25;
/// A text of several lines may take one more for each of these it shrank, in points.
const LINE_MORE: f32 = 2.5;
/// How often the width of a text of several lines is halved in on.
const BALANCE: usize = 6;
/// How many heights are tried for words that stand in the middle.
const PLACES: usize = 12;

/// How a text that is too long for its shape is cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::paper) enum Cut {
    /// Nothing may go: it stands whole, in its short form where it has one, or the label is refused.
    Never,
    /// The end goes, and where that is not enough all of it.
    End,
    /// The middle goes, and a mark of the whole text is added.
    Middle {
        /// The mark.
        mark: String,
    },
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
    /// Lines it may take before it reaches its floor.
    pub lines: usize,
    pub cut: Cut,
    /// Whether a frame is drawn around it.
    pub framed: bool,
    /// White kept above it, in points.
    pub gap: f32,
    /// Whether spare height goes above it.
    pub sinks: bool,
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
    /// Texts that lost some of their letters, and what is left of them.
    pub cut: Vec<(String, String)>,
    /// The first text that may lose nothing and found no room.
    pub left_out: Option<String>,
}

struct Laid {
    lines: Vec<Line>,
    frames: Vec<Frame>,
    above: f32,
    used: f32,
    /// The blocks that did not get all their text into the lines they may take.
    over: Vec<usize>,
    /// Lines each block took.
    counts: Vec<usize>,
}

impl Laid {
    /// Whether these places are to be taken over others: fewer lines, then more in
    /// the middle of the shape if they are to be centred, else lower.
    fn is_better(&self, other: &Self, shape: &Shape<'_>) -> bool {
        let lines = |laid: &Self| laid.counts.iter().sum::<usize>();
        let off = |laid: &Self| (laid.above + laid.used - shape.height).abs();
        match lines(self).cmp(&lines(other)) {
            std::cmp::Ordering::Less => true,
            std::cmp::Ordering::Equal => !shape.centred || off(self) < off(other),
            std::cmp::Ordering::Greater => false,
        }
    }
}

struct Setting<'a> {
    blocks: Vec<Block>,
    sizes: Vec<f32>,
    limits: Vec<usize>,
    /// Share of the width each block takes.
    shares: Vec<f32>,
    shape: &'a Shape<'a>,
}

/// Fits blocks, top to bottom, into a shape.
pub(in crate::paper) fn fit(face: &mut Typeface, blocks: Vec<Block>, shape: &Shape<'_>) -> Fitted {
    let mut setting = Setting {
        sizes: blocks.iter().map(|block| block.size).collect(),
        limits: blocks.iter().map(|block| block.lines).collect(),
        shares: vec![1.0; blocks.len()],
        blocks,
        shape,
    };
    let mut laid = setting.lay(face, (0.0, 0.0));
    while !setting.fits(&laid) && setting.shrink(&laid) {
        laid = setting.lay(face, (0.0, 0.0));
    }
    if !setting.fits(&laid) && setting.take_short() {
        laid = setting.lay(face, (0.0, 0.0));
    }
    let mut cut = Vec::new();
    if !setting.fits(&laid) {
        cut = setting.cut(face, &laid);
        laid = setting.lay(face, (0.0, 0.0));
    }
    let never = |at: &&usize| setting.blocks[**at].cut == Cut::Never;
    let left_out = if setting.fits(&laid) {
        None
    } else {
        let at = laid.over.iter().find(never).copied().unwrap_or(setting.blocks.len() - 1);
        Some(setting.blocks[at].text.clone())
    };
    let spare = shape.height - laid.used;
    let mut places: Vec<(f32, f32)> = if shape.centred {
        (0..=PLACES).map(|step| (spare * step as f32 / PLACES as f32, 0.0)).collect()
    } else {
        vec![(0.0, spare)]
    };
    places.retain(|_| spare > 0.5);
    let mut chosen = (0.0, 0.0);
    for place in places {
        let spread = setting.lay(face, place);
        if setting.fits(&spread) && spread.is_better(&laid, shape) {
            (laid, chosen) = (spread, place);
        }
    }
    setting.balance(face, chosen, &mut laid);
    Fitted { lines: laid.lines, frames: laid.frames, cut, left_out }
}

impl Setting<'_> {
    /// Places every block at its present size; `above` and `between` are white put
    /// above the first and above each sinking block.
    fn lay(&self, face: &mut Typeface, (above, between): (f32, f32)) -> Laid {
        let mut laid =
            Laid { lines: vec![], frames: vec![], above, used: above, over: vec![], counts: vec![] };
        for (at, block) in self.blocks.iter().enumerate() {
            laid.used += block.gap;
            if block.sinks {
                laid.used += between;
            }
            let top = laid.used;
            let pad = if block.framed { (FRAME_PAD, FRAME_SIDE) } else { (0.0, 0.0) };
            laid.used += pad.0;
            let (texts, whole) = self.wrap(face, at, laid.used, pad.1);
            if !whole {
                laid.over.push(at);
            }
            laid.counts.push(texts.len());
            let mut frame: Option<(f32, f32)> = None;
            for (text, left, right) in texts {
                let size = self.sizes[at];
                let shaped = face.shape(block.weight, text);
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
        laid
    }

    /// Whether everything went in; a hundredth of a point is no overflow.
    fn fits(&self, laid: &Laid) -> bool {
        laid.over.is_empty() && laid.used <= self.shape.height + 0.01
    }

    /// Breaks a block into lines from a height on; tells whether all of it went in.
    fn wrap(&self, face: &mut Typeface, at: usize, from: f32, side: f32) -> (Vec<(&str, f32, f32)>, bool) {
        let (block, size, share) = (&self.blocks[at], self.sizes[at], self.shares[at]);
        let shrank = if block.lines > 1 { (block.size - size) / LINE_MORE } else { 0.0 };
        let most = self.limits[at].saturating_add(shrank as usize);
        let mut lines = Vec::new();
        let mut rest = block.text.as_str();
        let mut top = from;
        while !rest.is_empty() {
            if lines.len() == most {
                return (lines, false);
            }
            let (mut left, mut right) = (self.shape.limits)(top, top + LEADING * size);
            if block.framed {
                // A frame is as wide at its top as at its widest line.
                let (first, last) = (self.shape.limits)(from - FRAME_PAD, from + LEADING * size);
                (left, right) = (left.max(first), right.min(last));
            }
            let unused = (right - left) * (1.0 - share);
            let (left, right) = if self.shape.centred {
                (left + side + unused / 2.0, right - side - unused / 2.0)
            } else {
                (left + side, right - side - unused)
            };
            let end = break_at(face, block.weight, rest, (right - left) / size);
            if end == 0 {
                return (lines, false);
            }
            let (line, after) = rest.split_at(end);
            lines.push((line.trim_end(), left, right));
            rest = after.trim_start();
            top += LEADING * size;
        }
        (lines, true)
    }

    /// Evens out the lines of each block of several: the narrowest that takes no more.
    fn balance(&mut self, face: &mut Typeface, place: (f32, f32), laid: &mut Laid) {
        for at in 0..self.blocks.len() {
            if laid.counts[at] < 2 {
                continue;
            }
            let (mut narrow, mut wide) = (0.5, 1.0);
            for _ in 0..BALANCE {
                self.shares[at] = f32::midpoint(narrow, wide);
                let tried = self.lay(face, place);
                if tried.over.is_empty() && tried.counts == laid.counts {
                    wide = self.shares[at];
                    *laid = tried;
                } else {
                    narrow = self.shares[at];
                }
            }
            self.shares[at] = wide;
        }
    }

    /// Makes one block smaller; false when none can be.
    fn shrink(&mut self, laid: &Laid) -> bool {
        let can = |at: &usize| self.sizes[*at] > self.blocks[*at].floor;
        let ratio = |at: &usize| self.sizes[*at] / self.blocks[*at].floor;
        let over = laid.over.iter().copied().filter(can).max_by(|a, b| ratio(a).total_cmp(&ratio(b)));
        let stuck = laid.over.iter().copied().find(|at| !can(at) && self.limits[*at] < 99);
        if let Some(at) = over {
            self.sizes[at] = (self.sizes[at] - STEP).max(self.blocks[at].floor);
            return true;
        }
        if let Some(at) = stuck {
            self.limits[at] = 99;
            return true;
        }
        let all = (0..self.blocks.len()).filter(can).max_by(|a, b| ratio(a).total_cmp(&ratio(b)));
        if let Some(at) = all {
            self.sizes[at] = (self.sizes[at] - STEP).max(self.blocks[at].floor);
        }
        all.is_some()
    }

    /// Puts the short forms in place; false where there is none.
    fn take_short(&mut self) -> bool {
        let mut any = false;
        for block in &mut self.blocks {
            if let Some(short) = block.short.take() {
                block.text = short;
                any = true;
            }
        }
        any
    }

    /// Takes text away: from the name down to two lines, from the details, from the
    /// name down to one line, and then whole details from the last; returns what was lost.
    fn cut(&mut self, face: &mut Typeface, laid: &Laid) -> Vec<(String, String)> {
        self.limits.clone_from(&laid.counts);
        for block in &mut self.blocks {
            // From here on the limits hold as they are.
            block.lines = 1;
        }
        let mut spare = self.shape.height - laid.used;
        while spare < 0.0 {
            let named = |block: &Block| matches!(block.cut, Cut::Middle { .. });
            let longer = |least: usize, which: &dyn Fn(&Block) -> bool| {
                let over = |at: &usize| self.limits[*at] > least && which(&self.blocks[*at]);
                (0..self.blocks.len()).rev().find(over)
            };
            let may_go = |block: &Block| block.cut == Cut::End;
            let Some(at) = longer(2, &named)
                .or_else(|| longer(1, &may_go))
                .or_else(|| longer(1, &named))
                .or_else(|| longer(0, &may_go))
            else {
                break;
            };
            self.limits[at] -= 1;
            spare += LEADING * self.sizes[at];
        }
        let mut cut = Vec::new();
        for at in 0..self.blocks.len() {
            if self.limits[at] == 0 {
                cut.push((std::mem::take(&mut self.blocks[at].text), String::new()));
            } else if self.blocks[at].cut != Cut::Never && self.lay(face, (0.0, 0.0)).over.contains(&at) {
                let left = self.shortened(face, at);
                cut.push((std::mem::replace(&mut self.blocks[at].text, left.clone()), left));
            }
        }
        cut
    }

    /// The most of a block's text that goes into its lines.
    fn shortened(&self, face: &mut Typeface, at: usize) -> String {
        let block = &self.blocks[at];
        let letters: Vec<char> = block.text.chars().collect();
        let keep = |count: usize| -> String {
            let (head, tail) = match block.cut {
                Cut::End | Cut::Never => (count, 0),
                Cut::Middle { .. } => (count - count * 2 / 5, count * 2 / 5),
            };
            let start: String = letters[..head].iter().collect();
            let end: String = letters[letters.len() - tail..].iter().collect();
            let cut = format!("{}\u{2026}{}", start.trim_end(), end.trim_start());
            match &block.cut {
                Cut::Middle { mark } if !cut.ends_with(mark.as_str()) => format!("{cut} {mark}"),
                _ => cut,
            }
        };
        let (mut fits, mut over) = (0, letters.len());
        while over - fits > 1 {
            let middle = usize::midpoint(fits, over);
            let mut trial = Setting {
                blocks: self.blocks.clone(),
                sizes: self.sizes.clone(),
                limits: self.limits.clone(),
                shares: self.shares.clone(),
                shape: self.shape,
            };
            trial.blocks[at].text = keep(middle);
            if trial.lay(face, (0.0, 0.0)).over.contains(&at) {
                over = middle;
            } else {
                fits = middle;
            }
        }
        keep(fits)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(text: &str, size: f32, lines: usize) -> Block {
        let cut = Cut::Middle { mark: "#7KQ2".to_owned() };
        Block {
            text: text.to_owned(),
            short: None,
            weight: Weight::Regular,
            size,
            floor: FLOOR,
            lines,
            cut,
            framed: false,
            gap: 0.0,
            sinks: false,
        }
    }

    fn fitted(text: &str, size: f32, lines: usize, width: f32, height: f32) -> Fitted {
        let shape = Shape { height, limits: &|_, _| (0.0, width), centred: false };
        fit(&mut Typeface::new(), vec![block(text, size, lines)], &shape)
    }

    fn texts(fitted: &Fitted) -> Vec<&str> {
        fitted.lines.iter().map(|line| line.shaped.text.as_str()).collect()
    }

    #[test]
    fn a_line_shrinks_before_it_wraps_and_wraps_before_it_is_cut() {
        let short = fitted("Beans", 12.0, 1, 100.0, 40.0);
        assert_eq!((texts(&short), short.lines[0].size), (vec!["Beans"], 12.0));
        let long = fitted("Green beans with dill", 12.0, 1, 100.0, 40.0);
        assert_eq!(texts(&long), ["Green beans with dill"]);
        assert!(long.lines[0].size < 12.0 && long.lines[0].size > FLOOR);
        let longer =
            fitted("Green beans with dill and a little garlic from the end bed", 12.0, 1, 100.0, 40.0);
        assert!(longer.lines.len() > 1 && longer.cut.is_empty());
        assert!(longer.lines.iter().all(|line| line.size == FLOOR));
        let longest = fitted(&"Green beans with dill and garlic ".repeat(9), 12.0, 1, 100.0, 40.0);
        assert_eq!(longest.cut.len(), 1);
        let shown = texts(&longest).join(" ");
        assert!(shown.contains('\u{2026}') && shown.ends_with("#7KQ2"), "{shown}");
    }

    #[test]
    fn no_line_leaves_its_shape() {
        for text in ["W".repeat(200), "wide words ".repeat(30), "a\u{301}".repeat(90), "-".repeat(300)] {
            for (width, height) in [(60.0, 22.0), (100.0, 40.0), (200.0, 90.0)] {
                let fitted = fitted(&text, 14.0, 3, width, height);
                for line in &fitted.lines {
                    assert!(line.shaped.width * line.size <= width * 1.01, "{}", line.shaped.text);
                    assert!(line.baseline + DESCENT * line.size <= height + 0.01);
                    assert!(line.size >= FLOOR);
                }
            }
        }
    }
}
