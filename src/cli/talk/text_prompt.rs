//! A question for a text, drawn on the terminal: the question, what is typed, a line of help, and what is offered.
//!
//! The questions with a list come from a library whose text questions know no Ctrl-U and write a `u` instead, and which
//! takes no keys but its own; hence this one.

use std::io::{self, Write};

use crossterm::event::{DisableBracketedPaste, EnableBracketedPaste, Event, KeyEventKind, read};
use crossterm::terminal::{Clear, ClearType, disable_raw_mode, enable_raw_mode};
use crossterm::{cursor, queue};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::cli::talk::offers::Offers;
use crate::cli::talk::stderr::columns_of_stderr;
use crate::cli::talk::text_field::{Asked, TextField};
use crate::paper::text::plain::{plain, wrap};

/// Most offers shown at a time.
const SHOWN: usize = 7;

/// How a question for a text ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Typed {
    /// With a text, or an offer taken.
    Text(String),
    /// With Esc.
    Back,
    /// With Ctrl-C.
    Left,
}

/// A question for a text.
#[derive(Debug)]
pub(super) struct TextPrompt<'a> {
    pub(super) ask: &'a str,
    pub(super) help: &'a str,
    /// What Enter alone gives; empty: nothing.
    pub(super) default: &'a str,
    pub(super) offers: &'a Offers,
}

/// The terminal while keys are read one by one.
struct Raw {
    /// Rows of what was drawn last above the cursor.
    above: u16,
}

impl Raw {
    fn begin() -> io::Result<Self> {
        enable_raw_mode()?;
        let raw = Self { above: 0 };
        queue!(io::stderr(), EnableBracketedPaste)?;
        Ok(raw)
    }

    /// Draws rows in place of those drawn before, the cursor at a row and a column of them.
    fn draw(&mut self, rows: &[String], (row, column): (usize, usize)) -> io::Result<()> {
        let mut to = io::stderr().lock();
        if self.above > 0 {
            queue!(to, cursor::MoveUp(self.above))?;
        }
        queue!(to, cursor::MoveToColumn(0), Clear(ClearType::FromCursorDown))?;
        to.write_all(rows.join("\r\n").as_bytes())?;
        let below = rows.len().saturating_sub(1 + row);
        if below > 0 {
            queue!(to, cursor::MoveUp(below as u16))?;
        }
        queue!(to, cursor::MoveToColumn(column as u16))?;
        self.above = row as u16;
        to.flush()
    }
}

impl Drop for Raw {
    fn drop(&mut self) {
        let _ = queue!(io::stderr(), DisableBracketedPaste);
        let _ = io::stderr().flush();
        let _ = disable_raw_mode();
    }
}

impl TextPrompt<'_> {
    pub(super) fn ask(&self) -> io::Result<Typed> {
        let mut field = TextField::default();
        let mut picked: Option<usize> = None;
        let mut raw = Raw::begin()?;
        let typed = loop {
            let offers = self.offers.narrowed(field.text());
            let (rows, cursor) = self.rows(&field, &offers, picked);
            raw.draw(&rows, cursor)?;
            let asked = match read()? {
                Event::Key(key) if key.kind == KeyEventKind::Press => field.press(key),
                Event::Paste(text) => {
                    field.insert(&text);
                    Asked::Nothing
                }
                _ => continue,
            };
            match asked {
                Asked::Nothing => picked = None,
                Asked::Down if !offers.is_empty() => {
                    picked = Some(picked.map_or(0, |at| (at + 1) % offers.len()));
                }
                Asked::Up if !offers.is_empty() => {
                    picked =
                        Some(picked.map_or(offers.len() - 1, |at| (at + offers.len() - 1) % offers.len()));
                }
                Asked::Down | Asked::Up => {}
                Asked::Complete => {
                    if let Some(line) = offers.get(picked.unwrap_or(0)) {
                        field.set(&self.offers.completed(line));
                        picked = None;
                    }
                }
                Asked::Clear => {
                    queue!(io::stderr(), Clear(ClearType::All), cursor::MoveTo(0, 0))?;
                    raw.above = 0;
                }
                Asked::Enter => {
                    let line = picked.and_then(|at| offers.get(at)).cloned();
                    let text = line.unwrap_or_else(|| field.text().to_owned());
                    break Typed::Text(if text.is_empty() { self.default.to_owned() } else { text });
                }
                Asked::Back => break Typed::Back,
                Asked::Leave => break Typed::Left,
            }
        };
        let left = match &typed {
            Typed::Text(text) => plain(self.offers.answer(text.trim())),
            Typed::Back => "<back>".to_owned(),
            Typed::Left => "<left>".to_owned(),
        };
        let rows = with_answer(&format!("> {}", self.ask), &left, width());
        let last = rows.len() - 1;
        raw.draw(&rows, (last, 0))?;
        drop(raw);
        io::stderr().write_all(b"\n")?;
        Ok(typed)
    }

    /// The rows to draw, and where among them the cursor stands.
    fn rows(
        &self,
        field: &TextField,
        offers: &[String],
        picked: Option<usize>,
    ) -> (Vec<String>, (usize, usize)) {
        let width = width();
        let default = if self.default.is_empty() { String::new() } else { format!(" ({})", self.default) };
        let head = format!("? {}{default}", self.ask);
        let mut rows = with_answer(&head, &plain(field.text()), width);
        let up_to = with_answer(&head, &plain(field.before_cursor()), width);
        let cursor = (up_to.len() - 1, up_to.last().map_or(0, |row| row.width()));
        if cursor.0 == rows.len() {
            rows.push(String::new());
        }
        // The window over a long list moves with the offer picked.
        let first = picked.map_or(0, |at| (at + 1).saturating_sub(SHOWN));
        for (line, at) in offers.iter().zip(0..).skip(first).take(SHOWN) {
            let mark = if picked == Some(at) { "> " } else { "  " };
            rows.push(format!("{mark}{line}"));
        }
        rows.extend(self.help.lines().enumerate().map(|(at, line)| {
            let (opens, closes) = (if at == 0 { "[" } else { "" }, at + 1 == self.help.lines().count());
            format!("{opens}{line}{}", if closes { "]" } else { "" })
        }));
        (rows, cursor)
    }
}

fn width() -> usize {
    columns_of_stderr().unwrap_or(80)
}

/// A question, broken between its words, and what is typed behind it.
fn with_answer(ask: &str, typed: &str, width: usize) -> Vec<String> {
    let asked = wrap(ask, width);
    let mut rows: Vec<String> = asked.lines().map(str::to_owned).collect();
    let last = rows.pop().unwrap_or_default();
    rows.extend(wrapped(&format!("{last} {typed}"), width));
    rows
}

/// A text in rows of a width, broken anywhere, the last never full, so that a cursor after it has a place.
fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut rows = vec![String::new()];
    let mut used = 0;
    for letter in text.chars() {
        let wide = letter.width().unwrap_or(0);
        if used + wide > width {
            rows.push(String::new());
            used = 0;
        }
        if let Some(row) = rows.last_mut() {
            row.push(letter);
        }
        used += wide;
    }
    if used >= width {
        rows.push(String::new());
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_answer_goes_on_in_the_next_row() {
        assert_eq!(wrapped("abcdef", 4), ["abcd", "ef"]);
        assert_eq!(wrapped("abcd", 4), ["abcd", ""]);
        // Two columns each (Unicode Standard Annex 11).
        assert_eq!(wrapped("\u{6843}\u{6843}\u{6843}", 5), ["\u{6843}\u{6843}", "\u{6843}"]);
        assert_eq!(wrapped("", 4), [""]);
    }
}
