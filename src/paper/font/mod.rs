//! The type on paper: Noto Sans, Latin, Greek and Cyrillic (licence in `OFL.txt`).

use std::collections::HashMap;
use std::rc::Rc;

use harfrust::{Direction, GlyphBuffer, ShapeOptions, ShapePlan, ShaperData, UnicodeBuffer};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use skrifa::{FontRef, MetadataProvider};

static REGULAR: &[u8] = include_bytes!("NotoSans-Regular.ttf");
static BOLD: &[u8] = include_bytes!("NotoSans-Bold.ttf");

/// How heavy a line is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Weight {
    Regular,
    Bold,
}

/// One line of text turned into glyphs, at a size of 1.
#[derive(Debug)]
pub(crate) struct Shaped {
    /// The text the glyphs stand for.
    pub text: String,
    /// The glyphs, left to right.
    pub glyphs: Vec<KrillaGlyph>,
    /// Sum of the advances.
    pub width: f32,
}

/// Height of the tallest accented capital above the baseline, at a size of 1.
pub(crate) const ASCENT: f32 = 0.93;
/// Depth of the longest descender below the baseline, at a size of 1.
pub(crate) const DESCENT: f32 = 0.24;
/// Height of a capital or figure, at a size of 1 (`OS/2.sCapHeight` of the files).
pub(crate) const CAP_HEIGHT: f32 = 0.714;

struct Loaded {
    face: FontRef<'static>,
    shaper: ShaperData,
    font: Font,
    plans: Vec<ShapePlan>,
    shaped: HashMap<String, Rc<Shaped>>,
}

/// Both weights, with what was shaped already: on a sheet most lines recur.
pub(crate) struct Typeface {
    regular: Loaded,
    bold: Loaded,
    buffer: Option<UnicodeBuffer>,
}

impl Loaded {
    fn new(data: &'static [u8]) -> Self {
        let face = FontRef::new(data).expect("the font in the crate is a font");
        Self {
            shaper: ShaperData::new(&face),
            face,
            font: Font::new(data.into(), 0).expect("the font in the crate is a font"),
            plans: Vec::new(),
            shaped: HashMap::new(),
        }
    }

    /// Turns a text into glyphs; the plan of a script is made once.
    fn shape(&mut self, buffer: UnicodeBuffer) -> GlyphBuffer {
        let shaper = self.shaper.shaper(&self.face).build();
        let script = buffer.script();
        let at = self.plans.iter().position(|plan| plan.script() == Some(script)).unwrap_or_else(|| {
            self.plans.push(ShapePlan::new(&shaper, buffer.direction(), Some(script), None, &[]));
            self.plans.len() - 1
        });
        shaper.shape(buffer, ShapeOptions::new().plan(Some(&self.plans[at])))
    }
}

impl Typeface {
    pub(crate) fn new() -> Self {
        Self { regular: Loaded::new(REGULAR), bold: Loaded::new(BOLD), buffer: Some(UnicodeBuffer::new()) }
    }

    fn loaded(&mut self, weight: Weight) -> &mut Loaded {
        match weight {
            Weight::Regular => &mut self.regular,
            Weight::Bold => &mut self.bold,
        }
    }

    /// The font to draw with.
    pub(crate) fn font(&mut self, weight: Weight) -> Font {
        self.loaded(weight).font.clone()
    }

    /// Whether the font draws a character. Both weights hold the same ones.
    pub(crate) fn draws(&self, character: char) -> bool {
        self.regular.face.charmap().map(character).is_some()
    }

    /// Shapes one line, left to right: every script the font holds runs that way.
    pub(crate) fn shape(&mut self, weight: Weight, text: &str) -> Rc<Shaped> {
        if let Some(known) = self.loaded(weight).shaped.get(text) {
            return Rc::clone(known);
        }
        let mut buffer = self.buffer.take().unwrap_or_default();
        buffer.push_str(text);
        buffer.guess_segment_properties();
        buffer.set_direction(Direction::LeftToRight);
        // A buffer of spaces has no script yet.
        let script = buffer.script();
        buffer.set_script(script);
        let loaded = self.loaded(weight);
        let output = loaded.shape(buffer);
        let em = loaded.font.units_per_em();
        let infos = output.glyph_infos();
        let mut width = 0.0;
        let glyphs = infos
            .iter()
            .zip(output.glyph_positions())
            .enumerate()
            .map(|(at, (info, position))| {
                let start = info.cluster as usize;
                let next = infos[at..].iter().find(|later| later.cluster != info.cluster);
                let end = next.map_or(text.len(), |later| later.cluster as usize);
                width += position.x_advance as f32 / em;
                KrillaGlyph::new(
                    GlyphId::new(info.glyph_id),
                    position.x_advance as f32 / em,
                    position.x_offset as f32 / em,
                    position.y_offset as f32 / em,
                    position.y_advance as f32 / em,
                    start..end,
                    None,
                )
            })
            .collect();
        let shaped = Rc::new(Shaped { text: text.to_owned(), glyphs, width });
        loaded.shaped.insert(text.to_owned(), Rc::clone(&shaped));
        self.buffer = Some(output.clear());
        shaped
    }

    /// Width of a text, at a size of 1.
    pub(crate) fn width(&mut self, weight: Weight, text: &str) -> f32 {
        self.shape(weight, text).width
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_font_draws_polish_greek_and_cyrillic_but_not_every_script() {
        let mut face = Typeface::new();
        for text in ["ŻÓŁĆ gęślą jaźń", "Ντομάτες λιαστές", "Огурцы солёные", "½ ⅓ é ñ"]
        {
            assert!(text.chars().all(|c| face.draws(c)), "{text}");
            for weight in [Weight::Regular, Weight::Bold] {
                assert!(face.shape(weight, text).glyphs.iter().all(|glyph| glyph.glyph_id.to_u32() != 0));
            }
        }
        assert!(!face.draws('梅') && !face.draws('ש'));
        assert_eq!(face.shape(Weight::Regular, "梅").glyphs[0].glyph_id.to_u32(), 0);
    }

    #[test]
    fn a_digit_is_as_wide_as_the_font_file_says() {
        // hmtx of the files, read with fonttools: every digit advances 572 of 1,000 units, the hyphen of the bold 320.
        let mut face = Typeface::new();
        let width = face.width(Weight::Bold, "26-041-03-3");
        assert!((width - (8.0 * 0.572 + 3.0 * 0.320)).abs() < 1e-4, "{width}");
    }
}
