//! Questions on a terminal, for facts that no flag gave.
//!
//! Every question has a flag. Without a terminal, or with `--json`, nothing is
//! asked: the command fails and names the flag. Esc goes back one question and
//! Ctrl-C ends the command with nothing written.

use std::io::{self, IsTerminal};

use inquire::{Confirm, InquireError, Select, Text};

use super::errors::{Code, Failure};
use super::screen::Screen;
use crate::paper::plain::plain;

/// One question and the flag that answers it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Question<'a> {
    /// The question, in words: "What is in the jars?".
    pub(super) ask: &'a str,
    /// What answers it on the command line: "--product NAME".
    pub(super) flag: &'a str,
    /// A line of help under the question; empty: none.
    pub(super) help: &'a str,
    /// What Enter alone gives.
    pub(super) default: Option<&'a str>,
}

/// What came of a question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Reply<T> {
    /// An answer.
    Given(T),
    /// Back to the question before.
    Back,
}

/// Whether there is somebody to ask, and how.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asker {
    somebody: bool,
}

impl Asker {
    /// Looks whether a person sits at the terminal.
    pub(super) fn new(screen: &Screen) -> Self {
        Self { somebody: !screen.json() && io::stdin().is_terminal() && io::stderr().is_terminal() }
    }

    /// Whether a question would reach anybody.
    pub(super) const fn can_ask(self) -> bool {
        self.somebody
    }

    /// The fact given by a flag, else the answer to the question, read by `read`.
    ///
    /// A command with one question has nothing to go back to: Esc ends it as Ctrl-C does.
    pub(super) fn need<T>(
        self,
        given: Option<T>,
        question: Question<'_>,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<T, Failure> {
        if let Some(given) = given {
            return Ok(given);
        }
        match self.text(question, read)? {
            Reply::Given(answer) => Ok(answer),
            Reply::Back => Err(interrupted()),
        }
    }

    /// Asks for a text until `read` takes it.
    pub(super) fn text<T>(
        self,
        question: Question<'_>,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<Reply<T>, Failure> {
        self.expect_somebody(question)?;
        let (ask, help) = (plain(question.ask), plain(question.help));
        let default = question.default.map(plain).unwrap_or_default();
        let mut prompt = Text::new(&ask);
        if !help.is_empty() {
            prompt = prompt.with_help_message(&help);
        }
        if !default.is_empty() {
            prompt = prompt.with_default(&default);
        }
        loop {
            let Some(answer) = skippable(prompt.clone().prompt_skippable())? else { return Ok(Reply::Back) };
            match read(answer.trim()) {
                Ok(value) => return Ok(Reply::Given(value)),
                Err(error) => super::screen::complain(&error),
            }
        }
    }

    /// Asks for one of several things; the cursor starts at `start`.
    pub(super) fn choose<T: std::fmt::Display>(
        self,
        question: Question<'_>,
        among: Vec<T>,
        start: usize,
    ) -> Result<Reply<T>, Failure> {
        self.expect_somebody(question)?;
        let (ask, help) = (plain(question.ask), plain(question.help));
        let start = start.min(among.len().saturating_sub(1));
        let mut prompt = Select::new(&ask, among).with_starting_cursor(start);
        if !help.is_empty() {
            prompt = prompt.with_help_message(&help);
        }
        Ok(skippable(prompt.prompt_skippable())?.map_or(Reply::Back, Reply::Given))
    }

    /// Asks yes or no.
    pub(super) fn confirm(self, question: Question<'_>, default: bool) -> Result<Reply<bool>, Failure> {
        self.expect_somebody(question)?;
        let (ask, help) = (plain(question.ask), plain(question.help));
        let mut prompt = Confirm::new(&ask).with_default(default);
        if !help.is_empty() {
            prompt = prompt.with_help_message(&help);
        }
        Ok(skippable(prompt.prompt_skippable())?.map_or(Reply::Back, Reply::Given))
    }

    fn expect_somebody(self, question: Question<'_>) -> Result<(), Failure> {
        if self.somebody { Ok(()) } else { Err(missing(question.flag)) }
    }
}

/// Says that a fact was not given and cannot be asked for.
pub(super) fn missing(flag: &str) -> Failure {
    Failure::usage(format!("{flag} is missing, and there is no terminal to ask on"), format!("add {flag}"))
}

/// Says that the person broke off.
pub(super) fn interrupted() -> Failure {
    Failure { code: Code::Interrupted, message: "interrupted; nothing was saved".to_owned(), hint: None }
}

fn skippable<T>(answer: Result<Option<T>, InquireError>) -> Result<Option<T>, Failure> {
    answer.map_err(|error| match error {
        InquireError::OperationInterrupted | InquireError::OperationCanceled => interrupted(),
        other => Failure {
            code: Code::Io,
            message: format!("the terminal could not be asked: {other}; nothing was saved"),
            hint: Some("give every fact by its flag; see --help".to_owned()),
        },
    })
}
