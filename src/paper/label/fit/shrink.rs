//! Fits lines of text into a shape: shrinks to a floor, wraps, and cuts only then.

use crate::paper::font::Typeface;
use crate::paper::label::fit::setting::{Laid, Setting};
use crate::paper::label::words::block::{Block, Cut, Fitted, Shape};

/// One step of shrinking, in points.
const STEP: f32 = 0.25;
/// How often the width of a text of several lines is halved in on.
const BALANCE: usize = 6;
/// How many shares of the spare height are tried.
const PLACES: usize = 12;

/// Fits blocks, top to bottom, into a shape.
pub(in crate::paper) fn fit(face: &mut Typeface, blocks: Vec<Block>, shape: &Shape<'_>) -> Fitted {
    let mut setting = Setting::new(blocks, shape);
    let mut laid = setting.lay_high(face);
    while !setting.fits(&laid) && setting.shrink(&laid) {
        laid = setting.lay_high(face);
    }
    if !setting.fits(&laid) && setting.take_short() {
        laid = setting.lay_high(face);
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
    let spare = shape.height - (laid.used - laid.above);
    let sinking = setting.blocks.iter().filter(|block| block.sinks).count().max(1) as f32;
    let mut chosen = (laid.above, 0.0);
    for step in (0..=PLACES).filter(|_| spare > 0.5) {
        let share = spare * step as f32 / PLACES as f32;
        let place = if shape.centred { (share, 0.0) } else { (0.0, share / sinking) };
        let spread = setting.lay(face, place);
        if setting.fits(&spread) && spread.is_better(&laid, shape) {
            (laid, chosen) = (spread, place);
        }
    }
    setting.balance(face, chosen, &mut laid);
    Fitted { lines: laid.lines, frames: laid.frames, splits: laid.splits, cut, left_out }
}

impl Setting<'_> {
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
                if tried.over.is_empty() && tried.counts == laid.counts && tried.splits == laid.splits {
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
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paper::font::{DESCENT, Weight};
    use crate::paper::label::words::block::FLOOR;

    fn block(text: &str, size: f32, lines: usize) -> Block {
        let cut = Cut::Middle { mark: "#7KQ2".to_owned() };
        Block { lines, cut, ..Block::plain(text.to_owned(), Weight::Regular, size) }
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
