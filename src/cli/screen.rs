//! The one place where anything is written to the terminal.
//!
//! What is said is gathered and written at the end, so that a command that fails
//! half-way says nothing half. Control characters from the ledger, which could
//! move the cursor or retitle the window, are shown as `\u{..}` instead.

use std::io::{self, IsTerminal, Write};

use serde::Serialize;

use super::context::GlobalArgs;
use super::errors::{Code, Failure};
use crate::paper::plain::plain;
use crate::paper::table::Table;

/// Narrowest screen laid out for.
const NARROWEST: usize = 40;

/// Columns of a screen that does not tell.
const USUAL: usize = 80;

/// Widest lines of help.
const WIDEST_PROSE: usize = 100;

/// Gathers what a command says.
#[derive(Debug)]
pub(super) struct Screen {
    json: bool,
    quiet: bool,
    /// Columns of the terminal; none when stdout is not one.
    width: Option<usize>,
    out: String,
    notes: Vec<String>,
}

#[derive(Serialize)]
struct Stamped<'a, T> {
    schema: u32,
    #[serde(flatten)]
    body: &'a T,
}

impl Screen {
    pub(super) fn new(args: &GlobalArgs) -> Self {
        Self { json: args.json, quiet: args.quiet, width: columns(), out: String::new(), notes: Vec::new() }
    }

    /// A screen nobody looks at, whose answer is JSON to be read by the program itself.
    pub(super) const fn captured() -> Self {
        Self { json: true, quiet: true, width: None, out: String::new(), notes: Vec::new() }
    }

    /// What was said so far.
    pub(super) fn into_text(self) -> String {
        self.out
    }

    /// Whether the answer is wanted in JSON.
    pub(super) const fn json(&self) -> bool {
        self.json
    }

    /// Says a line, wrapped to the terminal.
    pub(super) fn say(&mut self, line: impl AsRef<str>) {
        let line = plain(line.as_ref());
        match self.width {
            Some(width) => self.out.push_str(&crate::paper::plain::wrap(&line, width)),
            None => self.out.push_str(&line),
        }
        self.out.push('\n');
    }

    /// Says a text of the program's own as it is, without wrapping.
    pub(super) fn verbatim(&mut self, text: &str) {
        self.out.push_str(text);
    }

    /// Says a table.
    pub(super) fn table(&mut self, table: &Table) {
        self.out.push_str(&table.render(self.width));
    }

    /// Gives the whole answer as one JSON object.
    pub(super) fn answer<T: Serialize>(&mut self, body: &T) -> Result<(), Failure> {
        let text = serde_json::to_string_pretty(&Stamped { schema: 1, body }).map_err(|error| {
            Failure::new(Code::Other, format!("the answer has no JSON form: {error}"), "")
        })?;
        self.out.push_str(&text);
        self.out.push('\n');
        Ok(())
    }

    /// Says on stderr what to do next, unless asked to be quiet.
    pub(super) fn next(&mut self, line: impl Into<String>) {
        self.note(format!("next: {}", line.into()));
    }

    /// Says something on stderr, after the answer, unless asked to be quiet.
    pub(super) fn note(&mut self, line: impl Into<String>) {
        if !self.quiet && !self.json {
            self.notes.push(line.into());
        }
    }

    /// Writes out everything said so far; a closed pipe ends quietly.
    pub(super) fn finish(&mut self) -> Result<(), Failure> {
        let (out, notes) = (std::mem::take(&mut self.out), std::mem::take(&mut self.notes));
        let mut stdout = io::stdout().lock();
        match stdout.write_all(out.as_bytes()).and_then(|()| stdout.flush()) {
            Ok(()) => {}
            Err(error) if error.kind() == io::ErrorKind::BrokenPipe => return Ok(()),
            Err(error) => {
                return Err(Failure {
                    code: Code::Io,
                    message: format!("the answer could not be written: {error}"),
                    hint: Some("what was saved stays saved; see `jarledger history`".to_owned()),
                });
            }
        }
        for note in &notes {
            complain(note);
        }
        Ok(())
    }
}

/// Writes a line to stderr; there is nobody left to tell if that fails.
pub(super) fn complain(line: &str) {
    let _ = writeln!(io::stderr(), "{}", plain(line));
}

/// Columns that help is laid out for; prose wider than that tires the eye.
pub(super) fn help_width() -> usize {
    columns().unwrap_or(USUAL).min(WIDEST_PROSE)
}

/// Columns to lay out for; none when nobody looks at them.
fn columns() -> Option<usize> {
    let told = std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
    told.or_else(|| io::stdout().is_terminal().then(|| terminal_columns().unwrap_or(USUAL)))
        .map(|columns: usize| columns.max(NARROWEST))
}

fn terminal_columns() -> Option<usize> {
    terminal_size::terminal_size().map(|(terminal_size::Width(columns), _)| usize::from(columns))
}
