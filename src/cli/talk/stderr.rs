//! Lines beside the answer and failures, on stderr, and how wide the terminal is.

use std::io::{self, IsTerminal, Write};

use crate::cli::errors::{Code, Failure};
use crate::paper::text::plain::{plain, plain_json, wrap};

/// Narrowest screen laid out for.
const NARROWEST: usize = 40;

/// Columns of a screen that does not report its width.
const USUAL: usize = 80;

/// Widest lines of help.
const WIDEST_PROSE: usize = 100;

/// When colors are shown.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, clap::ValueEnum)]
pub(in crate::cli) enum ColorWhen {
    // On a terminal, unless NO_COLOR is set or TERM is dumb.
    #[default]
    Auto,
    Always,
    Never,
}

/// Writes a line to stderr, wrapped where that is a terminal; a failure is ignored, since there is nowhere left to report it.
pub(in crate::cli) fn complain(line: &str) {
    let line = plain(line);
    let line = columns_of_stderr().map_or(line.clone(), |width| wrap(&line, width));
    let _ = writeln!(io::stderr(), "{line}");
}

/// Writes JSON to stderr, for a program to read.
pub(in crate::cli) fn complain_in_json(line: &str) {
    let _ = writeln!(io::stderr(), "{}", plain_json(line));
}

impl Failure {
    /// Prints the failure on stderr, as text or JSON, and returns its code.
    pub(in crate::cli) fn report(&self, json: bool) -> Code {
        if json {
            let body = serde_json::json!({
                "schema": 1,
                "error": {"code": self.code.as_str(), "message": self.message, "hint": self.hint,
                          "exit": self.code.exit()},
            });
            complain_in_json(&body.to_string());
        } else if !self.message.is_empty() {
            complain(&format!("error: {}", self.message));
            if let Some(hint) = &self.hint {
                complain(&format!("hint: {hint}"));
            }
        }
        self.code
    }
}

/// Columns that help is laid out for; prose wider than that tires the eye.
pub(in crate::cli) fn help_width() -> usize {
    // Also of help that goes through a pager.
    columns_of_environment().or_else(terminal_columns).unwrap_or(USUAL).clamp(NARROWEST, WIDEST_PROSE)
}

/// Columns that the environment says there are.
fn columns_of_environment() -> Option<usize> {
    std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok())
}

/// Columns to lay out for; none when nobody looks at them.
pub(in crate::cli) fn columns() -> Option<usize> {
    columns_of_environment()
        .or_else(|| io::stdout().is_terminal().then(|| terminal_columns().unwrap_or(USUAL)))
        .map(|columns: usize| columns.max(NARROWEST))
}

/// Whether stdout takes colors.
pub(in crate::cli) fn shows_color(when: ColorWhen) -> bool {
    let set = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    match when {
        ColorWhen::Always => true,
        ColorWhen::Never => false,
        ColorWhen::Auto => {
            io::stdout().is_terminal()
                && !set("NO_COLOR")
                && std::env::var_os("TERM").is_some_and(|term| term != "dumb")
        }
    }
}

/// Columns for what is said beside the answer; none when nobody looks at it.
pub(in crate::cli) fn columns_of_stderr() -> Option<usize> {
    let columns =
        io::stderr().is_terminal().then(|| columns_of_environment().or_else(terminal_columns)).flatten();
    columns.map(|columns| columns.max(NARROWEST))
}

pub(in crate::cli) fn terminal_columns() -> Option<usize> {
    terminal_size::terminal_size().map(|(terminal_size::Width(columns), _)| usize::from(columns))
}
