//! Lets the words of a label grow into the room it has.

use crate::paper::font::{Typeface, Weight};
use crate::paper::label::fit::setting::Setting;
use crate::paper::label::fit::shrink::fit;
use crate::paper::label::words::block::{Block, Cut, FLOOR, Fitted, Shape};
use crate::paper::label::words::wording::NAME;

/// How often a size is halved in on.
const STEPS: usize = 8;
/// How much larger than wanted a text may come to stand; no label has room for more.
const MOST: f32 = 12.0;
/// Details may grow to this share of the day put up.
const DETAILS: f32 = 0.75;
/// Share of its wanted size to which the day put up may come down under a long name, so that this stays whole.
const LONG_NAME: f32 = 0.75;
/// What name and day come down to where something else would not stand on the label, in points.
const LEAST: f32 = FLOOR + 1.0;

/// Fits blocks as large as the shape takes them, in steps:
///
/// 1. A warning grows up to the size wanted for the day put up.
/// 2. The blocks that grow do so together.
/// 3. The name grows alone, and the details as far as they stay smaller.
///
/// Where even the wanted sizes are too large, all shrink together, the name staying the largest and the day put up the
/// next. Only below that is the name shortened in its middle.
pub(in crate::paper) fn fill(face: &mut Typeface, mut blocks: Vec<Block>, shape: &Shape<'_>) -> Fitted {
    let framed = |block: &Block| block.framed;
    let size = |which: &dyn Fn(&Block) -> bool| blocks.iter().find(|b| which(b)).map_or(0.0, |b| b.size);
    let most = size(&|block| block.grows && !is_name(block)) / size(&framed);
    let warning = largest(face, &blocks, shape, most, &framed);
    blocks.iter_mut().filter(|block| framed(block)).for_each(|block| block.size *= warning);
    let all = largest(face, &blocks, shape, MOST, &|block| block.grows);
    blocks.iter_mut().filter(|block| block.grows).for_each(|block| block.size *= all);
    let name = largest(face, &blocks, shape, MOST, &is_name);
    blocks.iter_mut().filter(|block| is_name(block)).for_each(|block| block.size *= name);
    let Some(day) = blocks.iter().skip_while(|block| !is_name(block)).nth(1).cloned() else {
        return or_in_short(face, blocks, shape);
    };
    let is_detail = |block: &Block| !block.grows && !block.joins && block.weight == Weight::Regular;
    let details = blocks.iter().filter(|block| is_detail(block)).map(|block| block.size).fold(0.0, f32::max);
    let most = DETAILS * day.size / details;
    let details = if most < 1.0 { most } else { largest(face, &blocks, shape, most, &is_detail) };
    blocks.iter_mut().filter(|block| is_detail(block)).for_each(|block| block.size *= details);
    let mut level = day.floor;
    loop {
        let ranked = ranked(&blocks, level, level < day.floor);
        let fitted = fit(face, ranked.clone(), shape);
        // What may lose its end does so before name and day get smaller.
        let lost = |block: &Block| fitted.cut.iter().any(|(text, _)| *text == block.text);
        if fitted.left_out.is_none() && !fitted.splits && !ranked.iter().filter(|b| is_name(b)).any(lost) {
            return fitted;
        }
        level -= 1.0;
        if level < LONG_NAME * day.floor {
            return if fitted.left_out.is_none() { fitted } else { or_in_short(face, ranked, shape) };
        }
    }
}

/// Whether a text is what a label is about.
pub(super) fn is_name(block: &Block) -> bool {
    matches!(block.cut, Cut::Middle { .. })
}

/// The blocks with the name at `size`. Where that is `below` the wanted one, nothing else is larger than the name.
fn ranked(blocks: &[Block], size: f32, below: bool) -> Vec<Block> {
    let mut ranked = blocks.to_vec();
    for block in &mut ranked {
        if is_name(block) {
            block.floor = size;
        }
        if below && !block.framed {
            let most = if is_name(block) { NAME * size } else { size };
            (block.size, block.floor) = (block.size.min(most), block.floor.min(size));
        }
    }
    ranked
}

/// Fits blocks; what must stand on the label goes before the size of anything, and a warning in few words before none.
fn or_in_short(face: &mut Typeface, mut blocks: Vec<Block>, shape: &Shape<'_>) -> Fitted {
    let fitted = fit(face, blocks.clone(), shape);
    if fitted.left_out.is_none() {
        return fitted;
    }
    blocks = ranked(&blocks, LEAST, true);
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
