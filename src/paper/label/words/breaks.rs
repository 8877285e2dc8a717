//! Where lines break.

use unicode_normalization::char::is_combining_mark;

use crate::paper::font::{Typeface, Weight};

/// Where a text breaks for a width (at a size of 1): after the last word that goes
/// in, or inside a word that is wider than the line; 0 when nothing goes in.
pub(in crate::paper) fn break_at(face: &mut Typeface, weight: Weight, text: &str, width: f32) -> usize {
    let (mut end, mut used) = (0, 0.0);
    let space = face.width(weight, " ");
    for word in words(text) {
        let bare = word.trim_end();
        let wide = face.width(weight, bare);
        if used + wide > width {
            break;
        }
        used += if bare.len() < word.len() { wide + space } else { wide };
        end += word.len();
    }
    if end > 0 {
        return end;
    }
    for (start, c) in text.char_indices() {
        let wide = face.width(weight, c.encode_utf8(&mut [0; 4]));
        if used + wide > width {
            break;
        }
        used += wide;
        let next = start + c.len_utf8();
        if !text[next..].chars().next().is_some_and(is_combining_mark) {
            end = next;
        }
    }
    end
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
