//! Lets the words of a label grow into the room it has.

use crate::paper::font::{Typeface, Weight};
use crate::paper::label::fit::block::{Block, Cut, Fitted, Shape};
use crate::paper::label::fit::setting::Setting;
use crate::paper::label::fit::shrink::fit;

/// How often a size is halved in on.
const STEPS: usize = 8;
/// How much larger than wanted a text may come to stand; no label has room for more.
const MOST: f32 = 12.0;
/// Details may grow to this share of the day put up.
const DETAILS: f32 = 0.75;

/// Fits blocks as large as the shape takes them: first those that grow, all at once; then the name alone, and the
/// details as far as they stay smaller. Where the wanted sizes are too large already the name stays the largest as
/// long as it can.
pub(in crate::paper) fn fill(face: &mut Typeface, mut blocks: Vec<Block>, shape: &Shape<'_>) -> Fitted {
    let is_name = |block: &Block| matches!(block.cut, Cut::Middle { .. });
    let all = largest(face, &blocks, shape, MOST, &|block| block.grows);
    blocks.iter_mut().filter(|block| block.grows).for_each(|block| block.size *= all);
    let name = largest(face, &blocks, shape, MOST, &is_name);
    blocks.iter_mut().filter(|block| is_name(block)).for_each(|block| block.size *= name);
    let after = blocks.iter().skip_while(|block| !is_name(block)).nth(1).cloned();
    let (day, floor) = after.map_or((0.0, 0.0), |day| (day.size, day.floor));
    let is_detail = |block: &Block| !block.grows && !block.joins && block.weight == Weight::Regular;
    let details = blocks.iter().filter(|block| is_detail(block)).map(|block| block.size).fold(0.0, f32::max);
    let details = largest(face, &blocks, shape, DETAILS * day / details, &is_detail);
    blocks.iter_mut().filter(|block| is_detail(block)).for_each(|block| block.size *= details);
    let mut proud = blocks.clone();
    proud.iter_mut().filter(|block| is_name(block)).for_each(|block| block.floor = block.floor.max(floor));
    for tried in [proud, blocks.clone()] {
        let fitted = fit(face, tried, shape);
        if fitted.cut.is_empty() && fitted.left_out.is_none() && !fitted.splits {
            return fitted;
        }
    }
    let fitted = fit(face, blocks.clone(), shape);
    if fitted.left_out.is_none() {
        return fitted;
    }
    // What must stand on the label goes before the size of anything, and a warning in few words before none.
    blocks.iter_mut().for_each(|block| block.floor = block.floor.min(block.least));
    let fitted = fit(face, blocks.clone(), shape);
    if fitted.left_out.is_none() {
        return fitted;
    }
    for block in blocks.iter_mut().filter(|block| block.framed) {
        block.text = block.short.take().unwrap_or_else(|| std::mem::take(&mut block.text));
    }
    fit(face, blocks, shape)
}

/// The largest factor at which some of the blocks still fit; 1 where they do not fit as they are.
fn largest(
    face: &mut Typeface,
    blocks: &[Block],
    shape: &Shape<'_>,
    most: f32,
    which: &dyn Fn(&Block) -> bool,
) -> f32 {
    if most <= 1.0 || !blocks.iter().any(which) {
        return 1.0;
    }
    let mut setting = Setting::new(blocks.to_vec(), shape);
    let wanted = setting.lay_high(face);
    let mut fits = |factor: f32, face: &mut Typeface| {
        for (size, block) in setting.sizes.iter_mut().zip(blocks) {
            *size = if which(block) { block.size * factor } else { block.size };
        }
        let laid = setting.lay_high(face);
        setting.fits(&laid) && laid.splits <= wanted.splits && laid.joined >= wanted.joined
    };
    if !fits(1.0, face) {
        return 1.0;
    }
    let (mut least, mut most) = (1.0, most);
    for _ in 0..STEPS {
        let middle = (least * most).sqrt();
        if fits(middle, face) {
            least = middle;
        } else {
            most = middle;
        }
    }
    least
}
