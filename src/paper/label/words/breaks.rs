//! Where lines break.

use unicode_segmentation::UnicodeSegmentation;

use crate::paper::font::{Typeface, Weight};

/// What a line may be wider than its parts added up, at a size of 1; far less than is seen.
const ROUNDING: f32 = 0.01;

/// Where a text that is read in a direction breaks for a width (at a size of 1): after the last word that goes
/// in, or inside a word that is wider than the line; 0 when nothing goes in.
pub(in crate::paper) fn break_at(
    face: &mut Typeface,
    weight: Weight,
    text: &str,
    leftward: bool,
    width: f32,
) -> usize {
    let (mut ends, mut end, mut used) = (Vec::new(), 0, 0.0);
    let space = face.width(weight, " ");
    for word in words(text) {
        let bare = word.trim_end();
        let wide = face.width(weight, bare);
        if used + wide > width {
            break;
        }
        used += if bare.len() < word.len() { wide + space } else { wide };
        end += word.len();
        ends.push(end);
    }
    if let Some(end) = last_that_goes_in(face, weight, text, &ends, leftward, width) {
        return end;
    }
    let (mut ends, mut end, mut used) = (Vec::new(), 0, 0.0);
    for letter in text.graphemes(true) {
        used += face.width(weight, letter);
        if used > width {
            break;
        }
        end += letter.len();
        ends.push(end);
    }
    last_that_goes_in(face, weight, text, &ends, leftward, width).unwrap_or(0)
}

/// The longest of several line breaks that fits, measured as drawn: letters in a line are not as wide as each alone.
fn last_that_goes_in(
    face: &mut Typeface,
    weight: Weight,
    text: &str,
    ends: &[usize],
    leftward: bool,
    width: f32,
) -> Option<usize> {
    let goes_in =
        |end: &usize| face.shape_line(weight, text[..*end].trim_end(), leftward).width <= width + ROUNDING;
    ends.iter().copied().rev().find(goes_in)
}

/// Splits a text behind its spaces and behind hyphens between letters.
fn words(text: &str) -> impl Iterator<Item = &str> {
    let mut rest = text;
    std::iter::from_fn(move || {
        if rest.is_empty() {
            return None;
        }
        let mut before = None;
        let mut end = rest.len();
        for (at, c) in rest.char_indices() {
            let next = at + c.len_utf8();
            let follows = rest[next..].chars().next();
            let hyphen = c == '-'
                && before.is_some_and(char::is_alphabetic)
                && follows.is_some_and(char::is_alphabetic);
            if hyphen || c == ' ' {
                end = next;
                break;
            }
            before = Some(c);
        }
        let (word, after) = rest.split_at(end);
        rest = after;
        Some(word)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_breaks_behind_spaces_and_hyphens_between_letters() {
        assert_eq!(
            words("bread-and butter 26-041").collect::<Vec<_>>(),
            ["bread-", "and ", "butter ", "26-041"]
        );
    }
}
