//! Questions on a terminal, for facts that no flag gave.
//!
//! Every question has a flag. Without a terminal, or with `--json`, nothing is
//! asked: the command fails and names the flag. Esc goes back one question and
//! Ctrl-C ends the command with nothing written.

use std::cell::RefCell;
use std::io::{self, IsTerminal};

use inquire::{Confirm, InquireError, Select};

use crate::cli::errors::{Code, Failure};
use crate::cli::talk::offers::Offers;
use crate::cli::talk::screen::Screen;
use crate::cli::talk::stderr::columns_of_stderr;
use crate::cli::talk::text_prompt::{TextPrompt, Typed};
use crate::paper::text::plain::{plain, wrap};

/// One question and the flag that answers it.
#[derive(Debug, Clone, Copy)]
pub(in crate::cli) struct Question<'a> {
    /// The question, in words: "What is in the jars?".
    pub(in crate::cli) ask: &'a str,
    /// What answers it on the command line: "--product NAME".
    pub(in crate::cli) flag: &'a str,
    /// A line of help under the question; empty: none.
    pub(in crate::cli) help: &'a str,
    /// What Enter alone gives.
    pub(in crate::cli) default: Option<&'a str>,
}

/// What came of a question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::cli) enum Reply<T> {
    /// An answer.
    Given(T),
    /// Back to the question before.
    Back,
}

/// Whether there is somebody to ask, and what they have answered so far.
#[derive(Debug)]
pub(in crate::cli) struct Asker {
    somebody: bool,
    talk: RefCell<Talk>,
}

/// The answers of a talk, so that it can be gone through again up to the question gone back to.
#[derive(Debug, Default)]
struct Talk {
    answers: Vec<String>,
    /// How many of them are given again.
    at: usize,
    /// The answer taken back, which is then the suggestion.
    taken_back: Option<String>,
    going_back: bool,
}

/// Stands in a list when what was typed fits no line of it.
const NONE_FITS: &str = "(nothing here fits that; Enter shows the list again)";

impl Asker {
    /// Looks whether a person sits at the terminal.
    pub(in crate::cli) fn new(screen: &Screen) -> Self {
        let somebody = !screen.json() && io::stdin().is_terminal() && io::stderr().is_terminal();
        Self { somebody, talk: RefCell::default() }
    }

    /// Whether a question would reach anybody.
    pub(in crate::cli) const fn can_ask(&self) -> bool {
        self.somebody
    }

    /// Gathers facts by questions; Esc goes back to the one before, and at the first ends the command.
    ///
    /// Going back runs `gather` again, with the earlier answers given as before, so it must only read.
    pub(in crate::cli) fn talk<T>(
        &self,
        mut gather: impl FnMut(&Self) -> Result<T, Failure>,
    ) -> Result<T, Failure> {
        loop {
            self.talk.borrow_mut().at = 0;
            let gathered = gather(self);
            if !std::mem::take(&mut self.talk.borrow_mut().going_back) {
                return gathered;
            }
        }
    }

    /// The fact given by a flag, else the answer to the question, read by `read`.
    pub(in crate::cli) fn need<T>(
        &self,
        given: Option<T>,
        question: Question<'_>,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<T, Failure> {
        self.need_offering(given, question, || Ok(Offers::default()), read)
    }

    /// The same, with answers offered to pick from.
    pub(in crate::cli) fn need_offering<T>(
        &self,
        given: Option<T>,
        question: Question<'_>,
        offers: impl FnOnce() -> Result<Offers, Failure>,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<T, Failure> {
        if let Some(given) = given {
            return Ok(given);
        }
        if let Some(answer) = self.given_before().and_then(|answer| read(&answer).ok()) {
            return Ok(answer);
        }
        self.expect_somebody(question)?;
        let taken_back = self.talk.borrow_mut().taken_back.take();
        let question = Question { default: taken_back.as_deref().or(question.default), ..question };
        let answer =
            self.text(question, &offers()?, |answer| read(answer).map(|value| (value, answer.to_owned())))?;
        let Reply::Given((value, answer)) = answer else { return Err(self.go_back()) };
        self.remember(answer);
        Ok(value)
    }

    /// The fact given by a flag, else one chosen; the cursor starts at `start`.
    pub(in crate::cli) fn need_one_of<T: std::fmt::Display>(
        &self,
        given: Option<T>,
        question: Question<'_>,
        mut among: Vec<T>,
        start: usize,
    ) -> Result<T, Failure> {
        if let Some(given) = given {
            return Ok(given);
        }
        let found = |answer: &str| among.iter().position(|one| one.to_string() == answer);
        if let Some(at) = self.given_before().and_then(|answer| found(&answer)) {
            return Ok(among.swap_remove(at));
        }
        let start =
            self.talk.borrow_mut().taken_back.take().and_then(|answer| found(&answer)).unwrap_or(start);
        match self.choose(question, among, start)? {
            Reply::Given(chosen) => {
                self.remember(chosen.to_string());
                Ok(chosen)
            }
            Reply::Back => Err(self.go_back()),
        }
    }

    /// The answer this question got the last time round.
    fn given_before(&self) -> Option<String> {
        let talk = &mut *self.talk.borrow_mut();
        let answer = talk.answers.get(talk.at).cloned();
        talk.at += usize::from(answer.is_some());
        answer
    }

    fn remember(&self, answer: String) {
        let talk = &mut *self.talk.borrow_mut();
        talk.answers.push(answer);
        talk.at = talk.answers.len();
    }

    /// Takes the last answer back; without one the command ends as with Ctrl-C.
    fn go_back(&self) -> Failure {
        let talk = &mut *self.talk.borrow_mut();
        talk.taken_back = talk.answers.pop();
        talk.going_back = talk.taken_back.is_some();
        interrupted()
    }

    /// Asks for a text until `read` takes it; what is offered may be picked instead of typed.
    pub(in crate::cli) fn text<T>(
        &self,
        question: Question<'_>,
        offers: &Offers,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<Reply<T>, Failure> {
        self.expect_somebody(question)?;
        let ask = plain(question.ask);
        let help = within_brackets(&offers.help(question.help));
        let default = question.default.map(plain).unwrap_or_default();
        let prompt = TextPrompt { ask: &ask, help: &help, default: &default, offers };
        loop {
            let answer = match prompt.ask() {
                Ok(Typed::Text(answer)) => answer,
                Ok(Typed::Back) => return Ok(Reply::Back),
                Ok(Typed::Left) => return Err(interrupted()),
                Err(error) => return Err(unasked(&error)),
            };
            match read(&offers.answer(answer.trim())) {
                Ok(value) => return Ok(Reply::Given(value)),
                Err(error) => crate::cli::talk::stderr::complain(&error),
            }
        }
    }

    /// Asks for one of several things; the cursor starts at `start`.
    pub(in crate::cli) fn choose<T: std::fmt::Display>(
        &self,
        question: Question<'_>,
        mut among: Vec<T>,
        start: usize,
    ) -> Result<Reply<T>, Failure> {
        self.expect_somebody(question)?;
        let keys =
            if question.help.is_empty() { "\u{2191}\u{2193} moves, Enter takes" } else { question.help };
        let (ask, help) = (plain(question.ask), within_brackets(keys));
        let start = start.min(among.len().saturating_sub(1));
        let lines: Vec<String> = among.iter().map(|item| plain(item.to_string())).collect();
        // Hiding a line puts the cursor back on the first one.
        let none_fits = (start == 0).then_some(NONE_FITS);
        loop {
            let shown: Vec<&str> = lines.iter().map(String::as_str).chain(none_fits).collect();
            let fits =
                |typed: &str| shown[..lines.len()].iter().any(|line| likeness(typed, line, 0).is_some());
            let score = |typed: &str, _: &&str, line: &str, at: usize| {
                if at < lines.len() { likeness(typed, line, at) } else { (!fits(typed)).then_some(0) }
            };
            let prompt = Select::new(&ask, shown.clone())
                .with_starting_cursor(start)
                .with_help_message(&help)
                .with_scorer(&score);
            match skippable(prompt.raw_prompt_skippable())? {
                None => return Ok(Reply::Back),
                Some(chosen) if chosen.index < lines.len() => {
                    return Ok(Reply::Given(among.swap_remove(chosen.index)));
                }
                Some(_) => {}
            }
        }
    }

    /// Asks yes or no.
    pub(in crate::cli) fn confirm(
        &self,
        question: Question<'_>,
        default: bool,
    ) -> Result<Reply<bool>, Failure> {
        self.expect_somebody(question)?;
        let (ask, help) = (plain(question.ask), within_brackets(question.help));
        let mut prompt = Confirm::new(&ask).with_default(default);
        if !help.is_empty() {
            prompt = prompt.with_help_message(&help);
        }
        Ok(skippable(prompt.prompt_skippable())?.map_or(Reply::Back, Reply::Given))
    }

    fn expect_somebody(&self, question: Question<'_>) -> Result<(), Failure> {
        if self.somebody {
            return Ok(());
        }
        let Failure { code, message, hint } = missing(question.flag);
        let mut letters = question.help.chars();
        let help = letters.next().map(|first| format!(": {}{}", first.to_lowercase(), letters.as_str()));
        Err(Failure { code, message, hint: hint.map(|hint| hint + &help.unwrap_or_default()) })
    }
}

/// How well a line fits what was typed: the very words first, then a line that begins with them, then one that holds
/// them all, each in the order of the list; none where it does not fit.
fn likeness(typed: &str, line: &str, at: usize) -> Option<i64> {
    let (typed, line) = (typed.trim().to_lowercase(), line.to_lowercase());
    let class = if line == typed {
        2
    } else if line.starts_with(&typed) {
        1
    } else if typed.split_whitespace().all(|word| line.contains(word)) {
        0
    } else {
        return None;
    };
    // A list is shorter than that.
    Some((class << 32) - i64::try_from(at).unwrap_or(0))
}

/// Help laid out for the terminal, between the brackets a prompt puts around it.
fn within_brackets(help: &str) -> String {
    let help = plain(help);
    columns_of_stderr().map_or(help.clone(), |columns| wrap(&help, columns - 2))
}

/// Reads an answer by the type's own text form.
pub(in crate::cli) fn parsed<T: std::str::FromStr<Err: std::fmt::Display>>(text: &str) -> Result<T, String> {
    text.parse().map_err(|error: T::Err| error.to_string())
}

/// Says that a fact was not given and cannot be asked for.
pub(in crate::cli) fn missing(flag: &str) -> Failure {
    Failure::usage(format!("{flag} is missing, and there is no terminal to ask on"), format!("add {flag}"))
}

/// Says that the person broke off.
pub(in crate::cli) fn interrupted() -> Failure {
    Failure { code: Code::Interrupted, message: "interrupted; nothing was saved".to_owned(), hint: None }
}

fn skippable<T>(answer: Result<Option<T>, InquireError>) -> Result<Option<T>, Failure> {
    answer.map_err(|error| match error {
        InquireError::OperationInterrupted | InquireError::OperationCanceled => interrupted(),
        other => unasked(&other),
    })
}

/// Says that the terminal takes no questions.
fn unasked(error: &dyn std::error::Error) -> Failure {
    Failure {
        code: Code::Io,
        message: format!("the terminal could not be asked: {error}; nothing was saved"),
        hint: Some("give each answer by its flag; see --help".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_very_words_are_picked_before_a_line_that_begins_with_them() {
        let sizes = ["quarter-pint", "half-pint", "quart"];
        let mut fit: Vec<_> = sizes
            .iter()
            .enumerate()
            .filter_map(|(at, size)| Some((likeness("Quart", size, at)?, *size)))
            .collect();
        fit.sort();
        assert_eq!(fit.iter().rev().map(|(_, size)| *size).collect::<Vec<_>>(), ["quart", "quarter-pint"]);
        assert!(likeness("pint", "half-pint", 1) > likeness("pint", "quarter-pint", 2));
    }
}
