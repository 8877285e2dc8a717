//! The type on paper: Noto Sans, Latin, Greek and Cyrillic (licence in `OFL.txt`), and other fonts for what it lacks.
//!
//! May use: nothing.
//!
//! The only files that paper reads are the fonts of the machine.

mod face;
pub mod fonts;
mod machine;
mod others;
pub(crate) mod parts;

use std::borrow::Cow;
use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;
use std::str::FromStr;
use std::sync::Arc;

use harfrust::Language;
use unicode_segmentation::UnicodeSegmentation;

use crate::paper::font::face::{Face, Part, Run};
use crate::paper::font::fonts::{FontError, Fonts, language_of};
use crate::paper::font::others::Others;
use crate::paper::font::parts::{
    END_ISOLATE, ISOLATE, first_script, is_leftward, is_written_by_custom, parts,
};

static REGULAR: &[u8] = include_bytes!("NotoSans-Regular.ttf");
static BOLD: &[u8] = include_bytes!("NotoSans-Bold.ttf");

/// How heavy a line is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Weight {
    Regular,
    Bold,
}

impl Weight {
    /// As font files say it (OpenType, OS/2, usWeightClass).
    const fn class(self) -> u16 {
        match self {
            Self::Regular => 400,
            Self::Bold => 700,
        }
    }
}

/// One line of text turned into glyphs, at a size of 1.
#[derive(Debug)]
pub(crate) struct Shaped {
    /// The text the glyphs stand for.
    pub text: String,
    /// The glyphs, left to right, in runs of one face and direction.
    pub runs: Vec<Run>,
    /// Sum of the advances.
    pub width: f32,
}

/// Height of the tallest accented capital above the baseline, at a size of 1.
pub(crate) const ASCENT: f32 = 0.93;
/// Depth of the longest descender below the baseline, at a size of 1.
pub(crate) const DESCENT: f32 = 0.24;
/// Height of a capital or figure, at a size of 1 (`OS/2.sCapHeight` of the files).
pub(crate) const CAP_HEIGHT: f32 = 0.714;

/// Both weights, with what was shaped already: on a sheet most lines recur.
pub(crate) struct Typeface {
    regular: Face,
    bold: Face,
    others: RefCell<Others>,
    language: Option<String>,
    /// By weight and direction.
    shaped: HashMap<(Weight, bool), HashMap<String, Rc<Shaped>>>,
}

impl Typeface {
    /// The program's own font alone.
    pub(crate) fn new() -> Self {
        let own =
            |data: &'static [u8]| Face::new(Arc::new(data), 0).expect("the font in the crate is a font");
        Self {
            regular: own(REGULAR),
            bold: own(BOLD),
            others: RefCell::default(),
            language: None,
            shaped: HashMap::new(),
        }
    }

    /// The program's own font, and others for what it lacks.
    pub(crate) fn with(fonts: &Fonts) -> Result<Self, FontError> {
        let others = RefCell::new(Others::new(fonts)?);
        Ok(Self { others, language: fonts.language.clone(), ..Self::new() })
    }

    /// Whether a font draws a character. Both weights of our own hold the same ones.
    pub(crate) fn draws(&self, character: char) -> bool {
        self.regular.draws(character)
            || self.others.borrow_mut().for_character(character, Weight::Regular.class()).is_some()
    }

    /// Shapes one line, read in the direction of its first letter.
    pub(crate) fn shape(&mut self, weight: Weight, text: &str) -> Rc<Shaped> {
        self.shape_line(weight, text, is_leftward(text))
    }

    /// Shapes one line of a text that is read in a direction.
    pub(crate) fn shape_line(&mut self, weight: Weight, given: &str, leftward: bool) -> Rc<Shaped> {
        if let Some(known) = self.shaped.get(&(weight, leftward)).and_then(|shaped| shaped.get(given)) {
            return Rc::clone(known);
        }
        let text = &*reopened(given);
        let language = language_of(text).map(str::to_owned).or_else(|| self.language.clone());
        let language = language.and_then(|tag| Language::from_str(&tag).ok());
        let own = match weight {
            Weight::Regular => &mut self.regular,
            Weight::Bold => &mut self.bold,
        };
        let others = self.others.get_mut();
        let (mut runs, mut width) = (Vec::new(), 0.0);
        for (part, face) in by_face(own, others, weight, text, leftward) {
            let language = language.as_ref().filter(|_| part.script.is_some_and(is_written_by_custom));
            let mut run = match face {
                None => own.shape(text, &part, language),
                Some(at) => others.face(at).shape_within_lines(text, &part, language),
            };
            run.x = width;
            width += run.width;
            runs.push(run);
        }
        let shaped = Rc::new(Shaped { text: text.to_owned(), runs, width });
        self.shaped.entry((weight, leftward)).or_default().insert(given.to_owned(), Rc::clone(&shaped));
        shaped
    }

    /// Width of a text, at a size of 1.
    pub(crate) fn width(&mut self, weight: Weight, text: &str) -> f32 {
        self.shape(weight, text).width
    }
}

/// A line that ends an isolate begun on the line before begins it anew.
fn reopened(line: &str) -> Cow<'_, str> {
    let ends_first = line.find([ISOLATE, END_ISOLATE]).is_some_and(|at| line[at..].starts_with(END_ISOLATE));
    if ends_first { format!("{ISOLATE}{line}").into() } else { line.into() }
}

/// Takes a line apart into parts of one script, direction and face, as they stand on paper; the face is one of the others
/// or, where none is given, our own.
fn by_face(
    own: &Face,
    others: &mut Others,
    weight: Weight,
    text: &str,
    leftward: bool,
) -> Vec<(Part, Option<usize>)> {
    let mut other = |c: char| {
        if own.draws(c) || is_joiner(c) || matches!(c, ISOLATE | END_ISOLATE) {
            None
        } else {
            others.for_character(c, weight.class())
        }
    };
    if !leftward && text.chars().all(|c| other(c).is_none()) {
        // Every script of our own font is read rightward and goes in one.
        let whole = Part { at: 0..text.len(), script: first_script(text), leftward: false };
        return vec![(whole, None)];
    }
    let mut found: Vec<(Part, Option<usize>)> = Vec::new();
    for part in parts(text, leftward) {
        let from = found.len();
        for (at, cluster) in text[part.at.clone()].grapheme_indices(true) {
            let (start, end) = (part.at.start + at, part.at.start + at + cluster.len());
            let before = found[from..].last_mut();
            // What belongs to one letter is drawn by one face, and a space by that of the letter before it.
            let face = match &before {
                Some((_, face)) if cluster == " " => *face,
                _ => cluster.chars().find_map(&mut other),
            };
            match before {
                Some((like, known)) if *known == face => like.at.end = end,
                _ => found.push((Part { at: start..end, ..part.clone() }, face)),
            }
        }
        if part.leftward {
            found[from..].reverse();
        }
    }
    found
}

/// Joins or parts the letters around it and draws nothing (ZERO WIDTH NON-JOINER, ZERO WIDTH JOINER).
pub(crate) const fn is_joiner(character: char) -> bool {
    matches!(character, '\u{200c}' | '\u{200d}')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn glyphs(shaped: &Shaped) -> Vec<u32> {
        let all = shaped.runs.iter().flat_map(|run| &run.glyphs);
        all.map(|glyph| glyph.glyph_id.to_u32()).collect()
    }

    #[test]
    fn the_font_draws_polish_greek_and_cyrillic_but_not_every_script() {
        let mut face = Typeface::new();
        for text in ["ŻÓŁĆ gęślą jaźń", "Ντομάτες λιαστές", "Огурцы солёные", "½ ⅓ é ñ"]
        {
            assert!(text.chars().all(|c| face.draws(c)), "{text}");
            for weight in [Weight::Regular, Weight::Bold] {
                assert!(!glyphs(&face.shape(weight, text)).contains(&0));
            }
        }
        assert!(!face.draws('梅') && !face.draws('ש'));
        assert_eq!(glyphs(&face.shape(Weight::Regular, "梅")), [0]);
    }

    #[test]
    fn a_digit_is_as_wide_as_the_font_file_says() {
        // hmtx of the files, read with fonttools: every digit advances 572 of 1,000 units, the hyphen of the bold 320.
        let mut face = Typeface::new();
        let width = face.width(Weight::Bold, "26-041-03-3");
        assert!((width - (8.0 * 0.572 + 3.0 * 0.320)).abs() < 1e-4, "{width}");
    }
}
