//! A line taken apart into parts of one script and direction, in the order they stand on paper.

use harfrust::{Script, Tag};
use unicode_bidi::{LTR_LEVEL, Level, ParagraphBidiInfo, RTL_LEVEL};
use unicode_script::UnicodeScript;

use crate::paper::font::face::Part;

/// Begins a part of a text that has its own direction, and leaves that of the text around it as it is (FIRST STRONG
/// ISOLATE, Unicode Standard Annex 9, 2.4).
pub(crate) const ISOLATE: char = '\u{2068}';
/// Ends it (POP DIRECTIONAL ISOLATE).
pub(crate) const END_ISOLATE: char = '\u{2069}';

/// Whether a text is read from right to left: whether its first letter is.
pub(crate) fn is_leftward(text: &str) -> bool {
    unicode_bidi::get_base_direction(text) == unicode_bidi::Direction::Rtl
}

/// The script of a text's first letter.
pub(super) fn first_script(text: &str) -> Option<Script> {
    text.chars().find_map(script)
}

/// Whether characters of a script look different from language to language.
pub(super) fn is_written_by_custom(known: Script) -> bool {
    use harfrust::script::{BOPOMOFO, HAN, HANGUL, HIRAGANA, KATAKANA};
    [BOPOMOFO, HAN, HANGUL, HIRAGANA, KATAKANA].contains(&known)
}

/// Takes a line of a text that is read in a direction apart.
pub(super) fn parts(text: &str, leftward: bool) -> Vec<Part> {
    // Most lines are plain letters, all in one direction; asking each letter for its own took a fifteenth of the time of a
    // sheet of labels.
    if text.is_ascii() && !text.is_empty() && !leftward {
        return vec![Part { at: 0..text.len(), script: first_script(text), leftward }];
    }
    let base: Level = if leftward { RTL_LEVEL } else { LTR_LEVEL };
    let bidi = ParagraphBidiInfo::new(text, Some(base));
    let (levels, runs) = bidi.visual_runs(0..text.len());
    let mut parts = Vec::new();
    for run in runs {
        let leftward = levels[run.start].is_rtl();
        let from = parts.len();
        for (at, character) in text[run.clone()].char_indices() {
            let (start, end) = (run.start + at, run.start + at + character.len_utf8());
            let script = script(character);
            match parts[from..].last_mut() {
                // A figure or sign goes with the letters before it, or with those after it where none are.
                Some(Part { at, script: known, .. })
                    if script.is_none() || known.is_none() || *known == script =>
                {
                    at.end = end;
                    *known = known.or(script);
                }
                _ => parts.push(Part { at: start..end, script, leftward }),
            }
        }
        if leftward {
            parts[from..].reverse();
        }
    }
    parts
}

/// The script of a character; none for figures, signs and marks that any script may have.
fn script(character: char) -> Option<Script> {
    use unicode_script::Script::{Common, Inherited, Unknown};
    let script = character.script();
    if matches!(script, Common | Inherited | Unknown) {
        return None;
    }
    let letters: [u8; 4] = script.short_name().as_bytes().try_into().ok()?;
    Script::from_iso15924_tag(Tag::new(&letters))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn on_paper(text: &str) -> Vec<(&str, bool)> {
        parts(text, is_leftward(text)).into_iter().map(|part| (&text[part.at], part.leftward)).collect()
    }

    /// Worked by hand from the rules of Unicode Standard Annex 9: with letters read leftward first, the line begins at
    /// the right, and figures in it are read rightward.
    #[test]
    fn parts_come_in_the_order_they_stand_on_paper() {
        assert_eq!(on_paper("Beans"), [("Beans", false)]);
        assert_eq!(on_paper("מלח"), [("מלח", true)]);
        assert_eq!(on_paper("מלח 26"), [("26", false), ("מלח ", true)]);
        assert_eq!(on_paper("Dill שמיר 2"), [("Dill ", false), ("2", false), ("שמיר ", true)]);
        assert_eq!(parts("dill", true).len(), 1);
    }

    /// The same annex, X5c and X6a: letters read leftward within an isolate turn nothing outside it.
    #[test]
    fn an_isolate_keeps_its_direction_to_itself() {
        let title = "\u{2068}מלח\u{2069}: 7 pints";
        assert_eq!(on_paper(title), [("\u{2068}", false), ("מלח", true), ("\u{2069}: 7 pints", false)]);
        // Without it all of the line turns around, and its last word comes first.
        assert_eq!(on_paper("מלח: 7 pints")[0], ("pints", false));
    }

    #[test]
    fn scripts_are_kept_apart_and_signs_go_with_them() {
        assert_eq!(on_paper("梅干し"), [("梅干", false), ("し", false)]);
        assert_eq!(on_paper("(梅) – plum"), [("(梅) – ", false), ("plum", false)]);
    }
}
