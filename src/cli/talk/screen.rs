//! The one place where anything is written to the terminal.
//!
//! What is said is gathered and written at the end, so that a command that fails
//! half-way says nothing half. Only an answer in JSON and a list that outgrows
//! [`GATHERED`] are written as they come, once all else that can fail is done:
//! they may be longer than memory. Control characters from the ledger, which could
//! move the cursor or retitle the window, are shown as `\u{..}` instead.

use std::io::{self, BufWriter, Write};

use serde::Serialize;

use crate::answers::say::Say;
use crate::answers::streamed::{Stop, Take, what_kept_it_from_being_read};
use crate::cli::errors::{Code, Failure, why_unwritten};
use crate::cli::talk::pager;
use crate::cli::talk::stderr::{ColorWhen, columns, complain, shows_color};
use crate::cli::talk::stdout::stdout;
use crate::paper::text::mark::Mark;
use crate::paper::text::plain::{PlainJson, plain, wrap};
use crate::paper::text::table::{Layout, Table};
use crate::values::time::on_screen;

/// Most that is gathered before it is written, in bytes.
const GATHERED: usize = 1 << 20;

/// Rows of a table that are laid out together.
const LAID_OUT: usize = 1_000;

/// How an answer is to be shown.
#[derive(Debug, Clone, Copy)]
pub(in crate::cli) struct Manner {
    pub(in crate::cli) json: bool,
    /// Whether nothing is said beside the answer.
    pub(in crate::cli) quiet: bool,
    /// Whether tables have a tab between their cells.
    pub(in crate::cli) tabs: bool,
    pub(in crate::cli) color: ColorWhen,
    /// Whether a long answer may go through the pager.
    pub(in crate::cli) paged: bool,
}

/// Gathers what a command says.
#[derive(Debug)]
pub(in crate::cli) struct Screen {
    json: bool,
    quiet: bool,
    /// Columns of the terminal; none when stdout is not one.
    width: Option<usize>,
    /// Whether tables have a tab between their cells.
    tabs: bool,
    colored: bool,
    /// Whether an answer longer than the terminal goes through the pager.
    paged: bool,
    /// Whether nothing is ever written: the program reads it itself.
    captured: bool,
    out: String,
    notes: Vec<String>,
    /// What kept a part from being written.
    failed: Option<io::Error>,
}

#[derive(Serialize)]
struct Stamped<'a, T> {
    schema: u32,
    #[serde(flatten)]
    body: &'a T,
}

impl Screen {
    pub(in crate::cli) fn new(manner: Manner) -> Self {
        if manner.json || manner.tabs {
            on_screen::write_for_programs();
        }
        Self {
            json: manner.json,
            quiet: manner.quiet,
            width: columns(),
            tabs: manner.tabs,
            colored: shows_color(manner.color),
            paged: manner.paged,
            captured: false,
            ..Self::captured()
        }
    }

    /// A screen nobody looks at, whose answer is JSON to be read by the program itself.
    pub(in crate::cli) const fn captured() -> Self {
        Self {
            json: true,
            quiet: true,
            width: None,
            tabs: false,
            colored: false,
            paged: false,
            captured: true,
            out: String::new(),
            notes: Vec::new(),
            failed: None,
        }
    }

    /// What was said so far.
    pub(in crate::cli) fn into_text(self) -> String {
        self.out
    }

    /// Whether the answer is wanted in JSON.
    pub(in crate::cli) const fn json(&self) -> bool {
        self.json
    }

    /// Whether anything is said beside the answer.
    pub(in crate::cli) const fn takes_notes(&self) -> bool {
        !self.quiet && !self.json
    }

    /// Whether colors are shown.
    pub(in crate::cli) const fn colored(&self) -> bool {
        self.colored
    }

    /// Says a line, wrapped to the terminal.
    pub(in crate::cli) fn say(&mut self, line: impl AsRef<str>) {
        let line = plain(line.as_ref());
        match self.width {
            Some(width) => self.out.push_str(&wrap(&line, width)),
            None => self.out.push_str(&line),
        }
        self.out.push('\n');
    }

    /// Says a line that catches the eye.
    pub(in crate::cli) fn say_marked(&mut self, mark: Mark, line: impl AsRef<str>) {
        let from = self.out.len();
        self.say(line);
        if self.colored {
            let said = self.out.split_off(from);
            for line in said.lines() {
                self.out.extend([mark.begins(), line, Mark::ENDS, "\n"]);
            }
        }
    }

    /// Says a text of the program's own as it is, without wrapping.
    pub(in crate::cli) fn verbatim(&mut self, text: &str) {
        self.out.push_str(text);
    }

    /// Says a table.
    pub(in crate::cli) fn table(&mut self, table: &Table) {
        self.out.push_str(&table.render(self.layout(), self.colored));
    }

    fn layout(&self) -> Layout {
        match self.width {
            _ if self.tabs => Layout::Tabs,
            Some(width) => Layout::Within(width),
            None => Layout::Wide,
        }
    }

    /// Says a table whose rows `read` hands out one by one; without a row nothing.
    pub(in crate::cli) fn table_of<const N: usize>(
        &mut self,
        mut table: Table,
        read: impl FnOnce(Take<'_, [String; N]>) -> Result<(), Stop>,
    ) -> Result<(), Failure> {
        let mut with_heads = true;
        let read = read(&mut |row| {
            table.row(row);
            if table.len() == LAID_OUT {
                self.piece(&table, with_heads);
                table.clear();
                with_heads = matches!(self.layout(), Layout::Within(_));
            }
            self.still_takes()
        });
        ended(read)?;
        if !table.is_empty() {
            self.piece(&table, with_heads);
        }
        Ok(())
    }

    fn piece(&mut self, table: &Table, with_heads: bool) {
        let text = table.render(self.layout(), self.colored);
        let heads = if with_heads { 0 } else { text.find('\n').map_or(0, |end| end + 1) };
        self.out.push_str(&text[heads..]);
        self.spill();
    }

    /// Says lines that `read` hands out one by one.
    pub(in crate::cli) fn lines_of(
        &mut self,
        read: impl FnOnce(Take<'_, String>) -> Result<(), Stop>,
    ) -> Result<(), Failure> {
        let read = read(&mut |line| {
            self.say(line);
            self.spill();
            self.still_takes()
        });
        ended(read)
    }

    /// Stops a list of which nobody takes more.
    fn still_takes(&self) -> Result<(), Stop> {
        if self.failed.is_some() { Err(Stop::Full) } else { Ok(()) }
    }

    /// Writes what was gathered once it is too much to keep.
    fn spill(&mut self) {
        if self.out.len() > GATHERED && !self.captured {
            self.paged = false;
            let written = stdout().and_then(|mut to| to.write_all(self.out.as_bytes()));
            self.failed = self.failed.take().or(written.err());
            self.out.clear();
        }
    }

    /// Gives the whole answer as one JSON object.
    pub(in crate::cli) fn answer<T: Serialize>(&mut self, body: &T) -> Result<(), Failure> {
        let answer = Stamped { schema: 1, body };
        if self.captured {
            let text = serde_json::to_string_pretty(&answer).map_err(|error| no_form(&error))?;
            self.out.push_str(&text);
            self.out.push('\n');
            return Ok(());
        }
        let stdout = match stdout() {
            Ok(stdout) => stdout,
            Err(error) => {
                self.failed = Some(error);
                return Ok(());
            }
        };
        let mut to = PlainJson(BufWriter::with_capacity(64 << 10, stdout));
        let written = serde_json::to_writer_pretty(&mut to, &answer);
        if let Some(error) = what_kept_it_from_being_read() {
            return Err(error.into());
        }
        match written {
            Err(error) if !error.is_io() => return Err(no_form(&error)),
            written => {
                let ended = written.map_err(io::Error::from).and_then(|()| to.write_all(b"\n"));
                self.failed = ended.and_then(|()| to.flush()).err();
            }
        }
        Ok(())
    }

    /// Says on stderr what to do next, unless asked to be quiet.
    pub(in crate::cli) fn next(&mut self, line: impl Into<String>) {
        self.note(format!("next: {}", line.into()));
    }

    /// Says something on stderr, after the answer, unless asked to be quiet.
    pub(in crate::cli) fn note(&mut self, line: impl Into<String>) {
        if self.takes_notes() {
            self.notes.push(line.into());
        }
    }

    /// Writes out everything said so far; a closed pipe ends quietly.
    pub(in crate::cli) fn finish(&mut self) -> Result<(), Failure> {
        let (out, notes) = (std::mem::take(&mut self.out), std::mem::take(&mut self.notes));
        let paged = self.paged && !self.json && self.failed.is_none() && pager::show(&out);
        let written = match self.failed.take() {
            Some(error) => Err(error),
            None if paged => Ok(()),
            None if out.is_empty() => Ok(()),
            None => stdout().and_then(|mut to| to.write_all(out.as_bytes()).and_then(|()| to.flush())),
        };
        match written {
            Ok(()) => {}
            Err(error) if error.kind() == io::ErrorKind::BrokenPipe => return Ok(()),
            Err(error) => {
                return Err(Failure {
                    code: Code::Io,
                    message: format!("the answer could not be written: {}", why_unwritten(&error)),
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

impl Say for Screen {
    fn say(&mut self, line: impl AsRef<str>) {
        Self::say(self, line);
    }
}

/// The failure to report now of a list that was read or left off; a screen that takes no more is reported at the end.
fn ended(read: Result<(), Stop>) -> Result<(), Failure> {
    match read {
        Err(Stop::Ledger(error)) => Err(error.into()),
        Ok(()) | Err(Stop::Full) => Ok(()),
    }
}

fn no_form(error: &serde_json::Error) -> Failure {
    Failure::new(Code::Other, format!("the answer has no JSON form: {error}"), "")
}
