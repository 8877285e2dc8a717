//! One face of a font file: which characters it draws, and texts turned into its glyphs.

use std::ops::Range;
use std::sync::Arc;

use harfrust::{Direction, Language, Script, ShapeOptions, ShapePlan, ShaperData, UnicodeBuffer};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};

/// The bytes of a font file, which shaping and the PDF share.
pub(super) type Bytes = Arc<dyn AsRef<[u8]> + Send + Sync>;

/// How far glyphs of other faces may reach above the baseline, below it, and in all, at a size of 1, so that they touch
/// neither the lines beside theirs nor a frame.
const REACH: (f32, f32, f32) = (1.0, 0.3, 1.17);

/// A face, ready to shape with.
pub(super) struct Face {
    bytes: Bytes,
    index: u32,
    shaper: ShaperData,
    font: Font,
    plans: Vec<ShapePlan>,
}

/// A part of a text, of one script and direction.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Part {
    /// Where it stands in the text.
    pub at: Range<usize>,
    /// Its script; none where it has only figures, signs and spaces.
    pub script: Option<Script>,
    /// Whether it is read from right to left.
    pub leftward: bool,
}

/// A part of a line in the glyphs of one face.
#[derive(Debug)]
pub(crate) struct Run {
    /// The font to draw with.
    pub font: Font,
    /// The glyphs, left to right, at a size of 1.
    pub glyphs: Vec<KrillaGlyph>,
    /// The part of the line's text that the glyphs stand for; their ranges count from its start.
    pub at: Range<usize>,
    /// Where it begins, at a line size of 1.
    pub x: f32,
    /// Its width, at a line size of 1.
    pub width: f32,
    /// Its size beside that of the line.
    pub scale: f32,
}

impl Face {
    /// Reads a face; none where the bytes are no font or the font has no such face.
    pub(super) fn new(bytes: Bytes, index: u32) -> Option<Self> {
        let shaper = ShaperData::new(&FontRef::from_index((*bytes).as_ref(), index).ok()?);
        let font = Font::new(Arc::clone(&bytes).into(), index)?;
        Some(Self { bytes, index, shaper, font, plans: Vec::new() })
    }

    fn read(&self) -> FontRef<'_> {
        FontRef::from_index((*self.bytes).as_ref(), self.index).expect("the bytes were read as a font before")
    }

    /// Whether the face draws a character.
    pub(super) fn draws(&self, character: char) -> bool {
        self.read().charmap().map(character).is_some()
    }

    /// Turns a part of a text into glyphs. What stands around it counts where letters join.
    pub(super) fn shape(&mut self, text: &str, part: &Part, language: Option<&Language>) -> Run {
        let mut buffer = UnicodeBuffer::new();
        buffer.set_pre_context(&text[..part.at.start]);
        buffer.push_str(&text[part.at.clone()]);
        buffer.set_post_context(&text[part.at.end..]);
        buffer.set_direction(if part.leftward { Direction::RightToLeft } else { Direction::LeftToRight });
        if let Some(script) = part.script {
            buffer.set_script(script);
        }
        if let Some(language) = language {
            buffer.set_language(language.clone());
        }
        let face = FontRef::from_index((*self.bytes).as_ref(), self.index)
            .expect("the bytes were read as a font before");
        let shaper = self.shaper.shaper(&face).build();
        let (direction, script) = (buffer.direction(), part.script);
        let like = |plan: &ShapePlan| {
            plan.direction() == direction && plan.script() == script && plan.language() == language
        };
        let at = self.plans.iter().position(like).unwrap_or_else(|| {
            self.plans.push(ShapePlan::new(&shaper, direction, script, language, &[]));
            self.plans.len() - 1
        });
        let output = shaper.shape(buffer, ShapeOptions::new().plan(Some(&self.plans[at])));
        let em = self.font.units_per_em();
        let infos = output.glyph_infos();
        // Where the characters of a glyph end, those of the next glyph in reading order begin.
        let mut starts: Vec<usize> = infos.iter().map(|info| info.cluster as usize).collect();
        starts.sort_unstable();
        let end = |start: usize| {
            let next = starts.partition_point(|known| *known <= start);
            starts.get(next).copied().unwrap_or(part.at.len())
        };
        let mut width = 0.0;
        let glyphs = infos
            .iter()
            .zip(output.glyph_positions())
            .map(|(info, position)| {
                let start = info.cluster as usize;
                width += position.x_advance as f32 / em;
                KrillaGlyph::new(
                    GlyphId::new(info.glyph_id),
                    position.x_advance as f32 / em,
                    position.x_offset as f32 / em,
                    position.y_offset as f32 / em,
                    position.y_advance as f32 / em,
                    start..end(start),
                    None,
                )
            })
            .collect();
        Run { font: self.font.clone(), glyphs, at: part.at.clone(), x: 0.0, width, scale: 1.0 }
    }

    /// Turns a part of a text into glyphs small enough for the lines of the program's own font.
    pub(super) fn shape_within_lines(&mut self, text: &str, part: &Part, language: Option<&Language>) -> Run {
        let mut run = self.shape(text, part, language);
        let face = self.read();
        let metrics = face.glyph_metrics(Size::new(1.0), LocationRef::default());
        let (mut above, mut below) = (0.0_f32, 0.0_f32);
        for glyph in &run.glyphs {
            let bounds = metrics.bounds(skrifa::GlyphId::new(glyph.glyph_id.to_u32())).unwrap_or_default();
            above = above.max(bounds.y_max + glyph.y_offset);
            below = below.max(-bounds.y_min - glyph.y_offset);
        }
        let fits = |reach: f32, most: f32| if reach > most { most / reach } else { 1.0 };
        run.scale = fits(above, REACH.0).min(fits(below, REACH.1)).min(fits(above + below, REACH.2));
        run.width *= run.scale;
        run
    }
}
