//! Text made fit for a terminal.

use std::borrow::Cow;
use std::io;

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::values::names::name::{is_variation_selector, shows_nothing};

/// Takes JSON as it is written, and writes it with what steers a terminal in JSON's own escapes.
pub(crate) struct PlainJson<W>(pub W);

impl<W: io::Write> io::Write for PlainJson<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        // JSON is written in pieces of whole characters.
        match std::str::from_utf8(bytes) {
            Ok(text) if !text.is_ascii() => self.0.write_all(plain_json(text).as_bytes())?,
            _ => self.0.write_all(bytes)?,
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.0.flush()
    }
}

/// Shows control and bidirectional formatting characters as `\u{..}`, so that no
/// name can move the cursor, retitle the window or turn the line around.
pub fn plain<'a>(text: impl Into<Cow<'a, str>>) -> String {
    let text = text.into();
    // Nearly every text is plain, and bytes are looked at faster than characters.
    if text.bytes().all(|byte| matches!(byte, b' '..=b'~' | b'\n')) {
        return text.into_owned();
    }
    let mut shown = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '\n' => shown.push(character),
            character if steers(character) => shown.extend(character.escape_unicode()),
            character => shown.push(character),
        }
    }
    shown
}

/// The same of JSON, in JSON's own escapes.
pub(crate) fn plain_json(json: &str) -> String {
    let mut shown = String::with_capacity(json.len());
    for character in json.chars() {
        if character != '\n' && steers(character) {
            for unit in character.encode_utf16(&mut [0; 2]) {
                shown.push_str(&format!("\\u{unit:04x}"));
            }
        } else {
            shown.push(character);
        }
    }
    shown
}

fn steers(character: char) -> bool {
    character.is_control() || is_bidi_control(character) || hides(character)
}

/// What shows nothing at all. The joiners and what chooses a form stay: many scripts and pictures are written with them.
const fn hides(character: char) -> bool {
    let joins = matches!(character, '\u{34f}' | '\u{200c}' | '\u{200d}' | '\u{ad}');
    shows_nothing(character) && !joins && !is_variation_selector(character)
}

/// Unicode Standard Annex #9, table of explicit directional formatting characters, and the line separators.
const fn is_bidi_control(character: char) -> bool {
    matches!(character, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{2028}' | '\u{2029}')
}

/// Breaks lines at spaces so that none is wider than `width` columns where it can be helped;
/// continued lines keep the indent of the first, and stand under the text of a `- ` item or
/// under the second column, where two spaces set one off.
pub(crate) fn wrap(text: &str, width: usize) -> String {
    text.split('\n').map(|line| wrap_line(line, width)).collect::<Vec<_>>().join("\n")
}

fn wrap_line(line: &str, width: usize) -> String {
    if line.width() <= width {
        return line.to_owned();
    }
    let first: String = line.chars().take_while(|&character| character == ' ').collect();
    let (head, rest, indent) = match second_column(line, first.len(), width) {
        Some(at) => (&line[..at], &line[at..], " ".repeat(line[..at].width())),
        None => {
            let rest = &line[first.len()..];
            (first.as_str(), rest, format!("{first}{}", if rest.starts_with("- ") { "  " } else { "" }))
        }
    };
    let mut wrapped = head.to_owned();
    let (mut at, mut begun) = (head.width(), false);
    for word in rest.split(' ').filter(|word| !word.is_empty()) {
        let wide = word.width();
        if begun && at + 1 + wide > width {
            wrapped.push('\n');
            wrapped.push_str(&indent);
            at = indent.len();
        } else if begun {
            wrapped.push(' ');
            at += 1;
        }
        wrapped.push_str(word);
        at += wide;
        begun = true;
    }
    wrapped
}

/// Where the text of a second column begins, if that leaves it half of the width.
fn second_column(line: &str, indent: usize, width: usize) -> Option<usize> {
    let gap = indent + line[indent..].find("  ")?;
    let text = gap + line[gap..].find(|character| character != ' ')?;
    (line[..text].width() <= width / 2).then_some(text)
}

/// Cuts a text to at most `width` columns, the last being "…" where anything was cut.
pub fn cut(text: &str, width: usize) -> String {
    if text.width() <= width {
        return text.to_owned();
    }
    let mut kept = String::new();
    let mut at = 0;
    for character in text.chars() {
        let wide = character.width().unwrap_or(0);
        if at + wide + 1 > width {
            break;
        }
        kept.push(character);
        at += wide;
    }
    kept.push('…');
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_shows_nothing_is_shown_and_joiners_are_left() {
        assert_eq!(plain("a\u{200b}b\u{feff}c\u{e0041}"), "a\\u{200b}b\\u{feff}c\\u{e0041}");
        assert_eq!(plain("\u{1f468}\u{200d}\u{1f373}"), "\u{1f468}\u{200d}\u{1f373}");
        // RFC 8259, 7: beyond the first plane a character is escaped as two units.
        assert_eq!(plain_json("\"\u{e0041}\u{9b}\u{202e}\""), "\"\\udb40\\udc41\\u009b\\u202e\"");
    }

    #[test]
    fn nothing_that_steers_a_terminal_gets_through() {
        let shown = plain("a\u{1b}[2J\u{7}\r\t\u{9b}\u{202e}b\u{7f}");
        assert_eq!(shown, "a\\u{1b}[2J\\u{7}\\u{d}\\u{9}\\u{9b}\\u{202e}b\\u{7f}");
    }

    #[test]
    fn json_made_plain_is_still_the_same_json() {
        let words = "a\u{7f}\u{9b}\u{202e}\u{61c}b";
        let shown = plain_json(&serde_json::json!(words).to_string());
        assert_eq!(shown, r#""a\u007f\u009b\u202e\u061cb""#);
        assert_eq!(serde_json::from_str::<String>(&shown).unwrap(), words);
    }

    #[test]
    fn lines_break_at_spaces_and_keep_their_indent() {
        assert_eq!(wrap("  one two three", 9), "  one two\n  three");
        assert_eq!(wrap("梅干し 梅干し", 8), "梅干し\n梅干し");
        assert_eq!(wrap(" - one two three", 9), " - one\n   two\n   three");
        assert_eq!(wrap(" a  one two", 9), " a  one\n    two");
        assert_eq!(wrap(" alpha  one two", 9), " alpha\n one two");
    }

    #[test]
    fn a_cut_text_is_never_wider_than_asked() {
        assert_eq!(cut("梅干しの漬物", 6), "梅干…");
        assert_eq!(cut("pears", 5), "pears");
    }
}
