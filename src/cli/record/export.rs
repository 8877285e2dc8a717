//! `export`: everything in the ledger, for other programs.

use std::fs;
use std::io::{self, BufWriter, IsTerminal, Write};
use std::path::{Path, PathBuf};

use crate::answers::near::did_you_mean;
use crate::cli::arguments::out_file::first_free;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::talk::ask::{Asker, Question};
use crate::cli::talk::screen::Screen;
use crate::cli::talk::stdout::stdout;
use crate::exchange::whole::csv_out::{OutError, write_csv, write_folder};
use crate::exchange::whole::dictionary::dictionary;
use crate::exchange::whole::json_out::write_json;
use crate::ledger::file::new_file::NewFile;
use crate::ledger::file::new_folder::NewFolder;
use crate::ledger::file::open::Ledger;
use crate::paper::text::plain::PlainJson;
use crate::paper::text::plain::plain;
use crate::paper::text::table::Table;
use crate::values::names::near::near_names;

/// Write out everything in the ledger as CSV, a file a table, or as one JSON object
///
/// With --json: one object, a key a table, on standard output or in the file named by --out. With a table's name:
/// that table as CSV. Else every table as CSV into the new folder named by --out. `jarledger import` makes a
/// ledger anew from the JSON or the folder.
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    /// One table only, as CSV
    #[arg(conflicts_with = "dictionary")]
    table: Option<String>,
    /// A new file, or for all tables a new folder
    #[arg(long, value_name = "PATH")]
    out: Option<PathBuf>,
    /// Leave text as it is, even where a spreadsheet would run it as a formula
    #[arg(long)]
    raw: bool,
    /// Say what every column means, and export nothing
    #[arg(long, conflicts_with_all = ["out", "raw"])]
    dictionary: bool,
}

#[derive(serde::Serialize)]
struct Answer<'a> {
    columns: &'a [crate::exchange::whole::dictionary::Meaning],
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    if args.dictionary {
        return meanings(screen);
    }
    let ledger = ctx.open()?;
    if let Some(name) = &args.table {
        let tables = ledger.tables()?;
        let Some(table) = tables.iter().find(|table| table.name == *name) else {
            let known: Vec<&str> = tables.iter().map(|table| table.name.as_str()).collect();
            return Err(Failure::new(
                Code::NotFound,
                format!("there is no table \u{201c}{name}\u{201d}"),
                did_you_mean(&near_names(name, known.iter().copied()))
                    .unwrap_or_else(|| format!("there are {}", known.join(", "))),
            ));
        };
        return one(args.out.as_deref(), screen, |to| {
            ledger.at_one_moment(|ledger| write_csv(ledger, table, args.raw, to))
        });
    }
    if screen.json() {
        return one(args.out.as_deref(), screen, |to| write_json(&ledger, PlainJson(to)));
    }
    let out = match args.out {
        Some(out) => out,
        None => which_folder(&Asker::new(screen))?,
    };
    all(&ledger, &out, args.raw, screen)
}

fn which_folder(asker: &Asker) -> Result<PathBuf, Failure> {
    if !asker.can_ask() {
        return Err(Failure::usage(
            "name a file or a folder to write to",
            "give --out FOLDER for every table, the name of one table, or --json for one object",
        ));
    }
    let question = Question {
        ask: "Into which new folder?",
        flag: "--out FOLDER",
        help: "Every table goes into it, a CSV file each",
        default: Some(&first_free("jarledger-export")),
    };
    asker.need(None, question, |answer| match Path::new(answer) {
        folder if folder.symlink_metadata().is_ok() => Err(there_already(folder).in_one_line()),
        folder => Ok(folder.to_owned()),
    })
}

/// Shows on a terminal what is written, line by line, with nothing in it that could steer the terminal.
struct Shown<W> {
    line: Vec<u8>,
    to: W,
}

impl<W: Write> Write for Shown<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        for line in bytes.split_inclusive(|&byte| byte == b'\n') {
            self.line.extend_from_slice(line);
            if line.ends_with(b"\n") {
                self.flush()?;
            }
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.to.write_all(plain(String::from_utf8_lossy(&self.line)).as_bytes())?;
        self.line.clear();
        self.to.flush()
    }
}

/// Writes one stream, to the file named or to standard output.
fn one(
    out: Option<&Path>,
    screen: &mut Screen,
    write: impl FnOnce(&mut dyn Write) -> Result<(), OutError>,
) -> Result<(), Failure> {
    let Some(out) = out else {
        let failed = |error| unwritten(error, "standard output", "what there is of it is not whole");
        let stdout = stdout().map_err(|error| failed(error.into()))?;
        let done = if stdout.is_terminal() {
            let mut to = Shown { line: Vec::new(), to: stdout };
            write(&mut to).and_then(|()| Ok(to.flush()?))
        } else {
            let mut to = BufWriter::new(stdout);
            write(&mut to).and_then(|()| Ok(to.flush()?))
        };
        return match done {
            Err(OutError::Io(error)) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
            done => done.map_err(failed),
        };
    };
    let new = begin(out)?;
    let mut to = BufWriter::new(open(&new, out)?);
    write(&mut to).and_then(|()| Ok(to.flush()?)).map_err(|error| failed(error, out))?;
    drop(to);
    new.take_new_name().map_err(|error| taken(error, out))?;
    if !screen.json() {
        screen.say(format!("Wrote {}.", out.display()));
    }
    Ok(())
}

/// Writes a folder of tables under another name first, so that nobody takes half an export for a whole one.
fn all(ledger: &Ledger, out: &Path, raw: bool, screen: &mut Screen) -> Result<(), Failure> {
    if out.symlink_metadata().is_ok() {
        return Err(there_already(out));
    }
    if out.file_name().is_none() {
        return Err(Failure::usage("--out needs a folder", "give --out FOLDER"));
    }
    let new = NewFolder::begin(out)?;
    let tables = write_folder(ledger, raw, new.temp()).map_err(|error| failed(error, out))?;
    new.take_new_name().map_err(|error| taken(error, out))?;
    screen.say(format!("Wrote {tables} tables into {}.", out.display()));
    Ok(())
}

fn begin(out: &Path) -> Result<NewFile, Failure> {
    if out.symlink_metadata().is_ok() {
        return Err(there_already(out));
    }
    Ok(NewFile::begin(out)?)
}

fn open(new: &NewFile, out: &Path) -> Result<fs::File, Failure> {
    fs::OpenOptions::new().write(true).open(new.temp()).map_err(|error| failed(OutError::Io(error), out))
}

fn taken(error: crate::ledger::error::LedgerError, out: &Path) -> Failure {
    match error {
        crate::ledger::error::LedgerError::Exists(_) => there_already(out),
        other => other.into(),
    }
}

fn there_already(out: &Path) -> Failure {
    let message = format!("{} is there already; nothing was written", out.display());
    Failure::new(Code::Refused, message, "name another")
}

fn failed(error: OutError, out: &Path) -> Failure {
    unwritten(error, out.display(), "nothing is left of it")
}

fn unwritten(error: OutError, out: impl std::fmt::Display, state: &str) -> Failure {
    match error {
        OutError::Ledger(error) => error.into(),
        OutError::Io(error) => Failure::unwritten(out, &error, state),
    }
}

fn meanings(screen: &mut Screen) -> Result<(), Failure> {
    if screen.json() {
        return screen.answer(&Answer { columns: dictionary() });
    }
    let mut table = Table::new(["Table", "Column", "Holds", "Empty", "Meaning"]);
    for row in dictionary() {
        let row = row.clone();
        table.row([row.table, row.column, row.holds, row.empty, row.meaning]);
    }
    screen.table(&table);
    Ok(())
}
