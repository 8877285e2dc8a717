//! Answers offered under a question: picked with the arrow keys, or narrowed down by typing.

use std::cell::RefCell;
use std::rc::Rc;

use unicode_width::UnicodeWidthStr;

use crate::cli::talk::stderr::terminal_columns;
use crate::paper::text::plain::{cut, plain};

/// Between an answer and what is said about it; no name and no code holds it.
const GAP: &str = "  ";

/// Columns before each line, for the cursor that picks.
pub(in crate::cli) const CURSOR: usize = 3;

/// An answer, and what to know of it.
#[derive(Debug, Clone)]
pub(in crate::cli) struct Offer {
    /// What is answered by picking it.
    pub(in crate::cli) answer: String,
    /// What is said beside it; empty: nothing.
    pub(in crate::cli) about: String,
}

impl From<String> for Offer {
    fn from(answer: String) -> Self {
        Self { answer, about: String::new() }
    }
}

/// The answers offered under one question.
#[derive(Debug, Clone, Default)]
pub(in crate::cli) struct Offers {
    lines: Rc<[String]>,
    /// Whether codes typed before are kept and the one picked is added.
    several: bool,
    /// Those codes; shared with the copy that the question works with.
    codes: Rc<RefCell<String>>,
}

impl Offers {
    /// One of these.
    pub(in crate::cli) fn new(offers: impl IntoIterator<Item = impl Into<Offer>>) -> Self {
        let width = terminal_columns().unwrap_or(80).saturating_sub(CURSOR);
        let line = |offer: Offer| {
            let room = width.saturating_sub(offer.answer.width() + GAP.len());
            let about = cut(&plain(&offer.about), room);
            format!("{}{GAP}{about}", plain(&offer.answer)).trim_end().to_owned()
        };
        Self { lines: offers.into_iter().map(|offer| line(offer.into())).collect(), ..Self::default() }
    }

    /// Codes, of which several may be answered.
    pub(in crate::cli) fn codes(offers: impl IntoIterator<Item = Offer>) -> Self {
        Self { several: true, ..Self::new(offers) }
    }

    pub(in crate::cli) fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }

    /// The line of help under the question.
    pub(in crate::cli) fn help(&self, help: &str) -> String {
        match (help.is_empty(), self.is_empty()) {
            (_, true) => help.to_owned(),
            (true, false) => "\u{2193} picks one of these".to_owned(),
            (false, false) => format!("{help}; \u{2193} picks one of these"),
        }
    }

    /// The answer in a line picked, or what was typed.
    pub(in crate::cli) fn answer(&self, line: &str) -> String {
        if !self.lines.iter().any(|known| known == line) {
            return line.to_owned();
        }
        let answer = line.split_once(GAP).map_or(line, |(answer, _)| answer);
        format!("{}{answer}", self.codes.borrow())
    }

    /// Codes typed before, with the space after them, and the words that narrow the lines down.
    fn split<'a>(&self, typed: &'a str) -> (&'a str, &'a str) {
        if !self.several {
            return ("", typed);
        }
        let is_code = |word: &str| word.chars().all(|c| c.is_ascii_digit() || "-,/".contains(c));
        let codes: usize = typed
            .split_inclusive(' ')
            .take_while(|word| word.ends_with(' ') && is_code(word.trim_end()))
            .map(str::len)
            .sum();
        typed.split_at(codes)
    }
}

impl Offers {
    /// The lines that fit what is typed, what was typed in full before what only begins with it.
    pub(in crate::cli) fn narrowed(&self, typed: &str) -> Vec<String> {
        let (codes, words) = self.split(typed);
        codes.clone_into(&mut self.codes.borrow_mut());
        let words = words.to_lowercase();
        let fits = |line: &&String| {
            let named =
                codes.split(' ').any(|code| line.split_once(GAP).is_some_and(|(answer, _)| answer == code));
            let line = line.to_lowercase();
            !named && words.split_whitespace().all(|word| line.contains(word))
        };
        let mut found: Vec<String> = self.lines.iter().filter(fits).cloned().collect();
        let answer =
            |line: &String| line.split_once(GAP).map_or(line.to_lowercase(), |(one, _)| one.to_lowercase());
        found.sort_by_key(|line| answer(line) != words.trim());
        found
    }

    /// What is typed once a line is taken into it.
    pub(in crate::cli) fn completed(&self, line: &str) -> String {
        format!("{}{}", self.answer(line), if self.several { " " } else { "" })
    }
}

/// Files in this folder whose names end so, by name.
pub(in crate::cli) fn files_here(extensions: &[&str]) -> Vec<String> {
    let Ok(entries) = std::fs::read_dir(".") else { return Vec::new() };
    let mut names: Vec<String> = entries
        .flatten()
        .filter_map(|entry| entry.file_name().into_string().ok())
        .filter(|name| name.rsplit_once('.').is_some_and(|(_, extension)| extensions.contains(&extension)))
        .collect();
    names.sort();
    names
}

#[cfg(test)]
mod tests {
    use super::*;

    fn jars() -> Offers {
        Offers::codes(
            [("26-001-01-4", "Pears, pint"), ("26-002-01-2", "Plums, pint")]
                .map(|(answer, about)| Offer { answer: answer.to_owned(), about: about.to_owned() }),
        )
    }

    #[test]
    fn words_narrow_down_and_codes_typed_before_are_kept() {
        let jars = jars();
        assert_eq!(jars.narrowed("").len(), 2);
        assert_eq!(jars.narrowed("PLU"), ["26-002-01-2  Plums, pint"]);
        assert_eq!(jars.narrowed("26-001-01-4 "), ["26-002-01-2  Plums, pint"]);
        let copy = jars.clone();
        assert_eq!(copy.narrowed("26-001 3,5-7 plums"), ["26-002-01-2  Plums, pint"]);
        assert_eq!(jars.answer("26-002-01-2  Plums, pint"), "26-001 3,5-7 26-002-01-2");
    }

    #[test]
    fn tab_takes_the_picked_one_or_the_first() {
        let jars = jars();
        assert_eq!(jars.completed(&jars.narrowed("pl")[0]), "26-002-01-2 ");
        assert!(jars.narrowed("x").is_empty());
    }

    #[test]
    fn the_very_word_comes_before_what_begins_with_it() {
        let sizes = Offers::new(["quarter-pint", "quart", "pint"].map(str::to_owned));
        assert_eq!(sizes.narrowed("quart"), ["quart", "quarter-pint"]);
        assert_eq!(sizes.completed("quart"), "quart");
    }

    #[test]
    fn a_text_of_ones_own_is_taken_as_typed() {
        assert_eq!(jars().answer("two  spaces"), "two  spaces");
    }
}
