//! What of a text can be put on paper, and how texts that look alike are kept apart.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::canonical_combining_class;
use unicode_script::{Script, UnicodeScript};

use crate::paper::font::Typeface;
use crate::paper::font::fonts::package;
use crate::paper::font::is_joiner;
use crate::paper::label::words::run::PrintWarning;
use crate::values::names::name::{is_ignorable, is_variation_selector};

/// A text made ready for paper.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::paper) struct Printable {
    /// One line, composed, with nothing in it that steers a printer or a reader's eye.
    pub text: String,
    /// Characters no font has a picture for; each prints as an empty box.
    pub missing: String,
    /// Whether control or invisible characters were replaced.
    pub replaced: bool,
}

impl Printable {
    /// What of the text is not shown as it stands.
    pub fn warnings(&self) -> impl Iterator<Item = PrintWarning> {
        let text = || self.text.clone();
        let missing = self.missing.chars().next().map(|first| PrintWarning::Missing {
            text: text(),
            characters: self.missing.clone(),
            package: package(first),
        });
        missing.into_iter().chain(self.replaced.then(|| PrintWarning::Replaced { text: text() }))
    }
}

/// Stands in for a character that has no picture by nature.
const STAND_IN: char = '\u{fffd}';

/// Whether a joiner behind a character shapes what is read, as in Persian and Hindi: behind a virama or an Arabic letter
/// (RFC 5892, appendix A.1 and A.2).
fn may_join(before: char) -> bool {
    const VIRAMA: u8 = 9;
    canonical_combining_class(before) == VIRAMA || before.script() == Script::Arabic
}

/// Makes a text ready for paper.
pub(in crate::paper) fn printable(face: &Typeface, given: &str) -> Printable {
    let mut ready = Printable { text: String::new(), missing: String::new(), replaced: false };
    for word in given.split_whitespace() {
        if !ready.text.is_empty() {
            ready.text.push(' ');
        }
        for character in word.nfc() {
            if is_variation_selector(character) {
                continue;
            }
            if is_joiner(character) && ready.text.chars().next_back().is_some_and(may_join) {
                ready.text.push(character);
                continue;
            }
            if character.is_control() || is_ignorable(character) {
                ready.replaced = true;
                ready.text.push(STAND_IN);
                continue;
            }
            if !face.draws(character) && !ready.missing.contains(character) {
                ready.missing.push(character);
            }
            ready.text.push(character);
        }
    }
    ready
}

/// Four characters that stand for a whole text, such as `#7KQ2`.
///
/// Printed behind a name that was cut or that lost characters, they keep two
/// products apart that otherwise look the same. FNV-1a, 64 bit, folded to 20 bits
/// and written in digits and capitals without I, L, O and U.
pub(in crate::paper) fn mark(whole: &str) -> String {
    const SIGNS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";
    let hash = whole.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    });
    let folded = hash ^ (hash >> 20) ^ (hash >> 40);
    let signs = (0..4).map(|at| SIGNS[(folded >> (5 * at)) as usize & 31] as char);
    std::iter::once('#').chain(signs).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_cannot_be_drawn_is_marked_and_reported() {
        let face = Typeface::new();
        let ready = printable(&face, " Dilly\n beans\u{202e}\u{7} 梅干梅 ");
        assert_eq!(ready.text, "Dilly beans\u{fffd}\u{fffd} 梅干梅");
        assert_eq!(ready.missing, "梅干");
        assert!(ready.replaced);
        assert_eq!(printable(&face, "z\u{307}ur").text, "\u{17c}ur");
    }

    #[test]
    fn what_chooses_a_look_vanishes_and_what_joins_letters_stays_where_it_shapes_them() {
        let face = Typeface::new();
        let ready = printable(&face, "Jam \u{2665}\u{fe0f} p\u{e0100}lum");
        assert_eq!((ready.text.as_str(), ready.replaced), ("Jam \u{2665} plum", false));
        // Persian "pickles" with its plural kept apart, Hindi "ksha" with its half form kept, and a joiner in English.
        assert!(!printable(&face, "\u{62a}\u{631}\u{634}\u{6cc}\u{200c}\u{647}\u{627}").replaced);
        assert!(!printable(&face, "\u{915}\u{94d}\u{200d}\u{937}").replaced);
        assert!(printable(&face, "Bea\u{200c}ns").replaced);
    }

    #[test]
    fn names_that_look_alike_have_different_marks() {
        assert_ne!(mark("梅干"), mark("梅酒"));
        assert_ne!(mark("Beans\u{200b}"), mark("Beans"));
        assert_eq!(mark("Beans").len(), 5);
    }
}
