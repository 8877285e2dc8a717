//! What goes of texts that find no room at their smallest size.

use crate::paper::font::Typeface;
use crate::paper::label::fit::setting::{LEADING, Laid, Setting};
use crate::paper::label::words::block::{Block, Cut};

impl Setting<'_> {
    /// Puts the short forms in place; false where there is none.
    pub(super) fn take_short(&mut self) -> bool {
        let mut any = false;
        for block in self.blocks.iter_mut().filter(|block| !block.framed) {
            if let Some(short) = block.short.take() {
                block.text = short;
                any = true;
            }
        }
        any
    }

    /// Takes text away: from the name down to two lines, from the details, from the
    /// name down to one line, and then whole details from the last; returns what was lost.
    pub(super) fn cut(&mut self, face: &mut Typeface, laid: &Laid) -> Vec<(String, String)> {
        // What lay below the shape took no line; it does once others went.
        self.limits = laid.counts.iter().map(|count| (*count).max(1)).collect();
        for block in &mut self.blocks {
            // From here on the limits hold as they are.
            block.lines = 1;
        }
        let none = |at: &usize| laid.counts[*at] == 0 && self.blocks[*at].cut != Cut::Unsaid;
        let below: f32 = (0..self.blocks.len()).filter(none).map(|at| LEADING * self.sizes[at]).sum();
        let mut spare = self.shape.height - laid.used - below;
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
            if self.blocks[at].cut == Cut::Unsaid {
                continue;
            }
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
                Cut::End | Cut::Never | Cut::Unsaid => (count, 0),
                Cut::Middle { .. } => (count - count * 2 / 5, count * 2 / 5),
            };
            let start: String = letters[..head].iter().collect();
            let end: String = letters[letters.len() - tail..].iter().collect();
            let cut = format!("{}\u{2026}{}", to_a_word(&start), from_a_word(&end));
            match &block.cut {
                Cut::Middle { mark } if !cut.ends_with(mark.as_str()) => format!("{cut} {mark}"),
                _ => cut,
            }
        };
        let (mut fits, mut over) = (0, letters.len());
        while over - fits > 1 {
            let middle = usize::midpoint(fits, over);
            let mut trial = self.clone();
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

/// A beginning without the word that it breaks off in, where that is short against it.
fn to_a_word(start: &str) -> &str {
    let whole = start.rsplit_once(char::is_whitespace).map_or(start, |(whole, _)| whole);
    if 3 * whole.len() >= 2 * start.len() { whole.trim_end() } else { start.trim_end() }
}

/// An end likewise.
fn from_a_word(end: &str) -> &str {
    let whole = end.split_once(char::is_whitespace).map_or(end, |(_, whole)| whole);
    if 3 * whole.len() >= 2 * end.len() { whole.trim_start() } else { end.trim_start() }
}
