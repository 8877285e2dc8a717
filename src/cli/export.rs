use std::io::{self, IsTerminal, Write};

use super::context::Context;
use super::errors::{Code, Failure};
use super::out_file::OutArgs;
use super::screen::Screen;
use crate::exchange::csv_out::{CsvCell, Formulas, write_row};
use crate::ledger::{Cell, Ledger, Part, TABLES, Table};

/// Give out what is in the ledger: a table as CSV, or everything as JSON
#[derive(Debug, clap::Args)]
#[command(after_long_help = dictionary())]
pub(super) struct Args {
    /// The table; with --json, without one: all of them
    #[arg(value_parser = table)]
    table: Option<&'static Table>,
    /// Leave texts that a spreadsheet would run as they are: for programs that are none
    #[arg(long)]
    raw: bool,
    #[command(flatten)]
    out: OutArgs,
}

fn table(given: &str) -> Result<&'static Table, String> {
    Table::named(given).ok_or_else(|| {
        let names: Vec<&str> = TABLES.iter().map(|table| table.name).collect();
        format!("there is no such table; there are {}", names.join(", "))
    })
}

/// What every table and column is.
fn dictionary() -> String {
    let mut told = String::from(
        "`export --json` gives one object: \"schema\", and for each table a list of its rows, with true values. \
         `jarledger import --ledger-json FILE` makes the same ledger of it again.\n\n\
         `export TABLE` gives CSV in UTF-8 with a line of headings. A text that begins with = + - @ ' or a tab, \
         which a spreadsheet would run, has a ' before it; `jarledger import` takes it away again. An empty cell \
         is a value not recorded.\n\n\
         Days are YYYY-MM-DD. Instants are seconds since 1970 in UTC, with the minutes that local time was \
         ahead of it in the column that ends in _offset. id is the number of a row, and a column that ends \
         in _id the row of another table; uuid is a name for good; NAME_key is what a name is found by.\n\nTables:\n",
    );
    for table in TABLES {
        told.push_str(&format!("  {}: {}\n      {}\n", table.name, table.about, table.columns.join(", ")));
    }
    told
}

pub(super) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let form = match (screen.json(), args.table) {
        (true, table) => Form::Json(table),
        (false, Some(table)) => Form::Csv(table, if args.raw { Formulas::Raw } else { Formulas::Escaped }),
        (false, None) => {
            return Err(Failure::usage(
                "no table was named",
                "`jarledger export jar` gives the jars as CSV, `jarledger export --json` everything; see --help",
            ));
        }
    };
    let ledger = ctx.open()?;
    if let Some(file) = args.out.file_if_named(ctx, "jars.csv")? {
        let path = file.path().display().to_string();
        file.write_with(|to| form.write(&ledger, to))?;
        screen.note(format!("wrote {path}"));
        return Ok(());
    }
    if io::stdout().is_terminal() {
        let mut text = Vec::new();
        form.write(&ledger, &mut text)?;
        String::from_utf8_lossy(&text).lines().for_each(|line| screen.verbatim_line(line));
        return Ok(());
    }
    let mut stdout = io::BufWriter::new(io::stdout().lock());
    match form.write(&ledger, &mut stdout).and_then(|()| stdout.flush().map_err(unwritten)) {
        Err(failure) if failure.code == Code::Done => Ok(()),
        outcome => outcome,
    }
}

/// What is written.
enum Form {
    Json(Option<&'static Table>),
    Csv(&'static Table, Formulas),
}

impl Form {
    fn write(&self, ledger: &Ledger, to: &mut dyn Write) -> Result<(), Failure> {
        match self {
            Self::Json(table) => json(ledger, *table, to),
            Self::Csv(table, formulas) => csv(ledger, table, *formulas, to),
        }
    }
}

fn csv(
    ledger: &Ledger,
    table: &'static Table,
    formulas: Formulas,
    to: &mut dyn Write,
) -> Result<(), Failure> {
    ledger.export([table], |part| {
        match part {
            Part::Table(table) => {
                write_row(to, table.columns.iter().map(|column| CsvCell::Plain(column)), formulas)
            }
            Part::Row(cells) => {
                let numbers: Vec<String> = cells.iter().map(number).collect();
                let cells = cells.iter().zip(&numbers).map(|(cell, number)| match cell {
                    Cell::Text(text) => CsvCell::Text(text),
                    _ => CsvCell::Plain(number),
                });
                write_row(to, cells, formulas)
            }
        }
        .map_err(unwritten)
    })
}

/// A number in full; nothing for what is no number.
fn number(cell: &Cell) -> String {
    match cell {
        Cell::Integer(number) => number.to_string(),
        Cell::Real(number) => number.to_string(),
        Cell::Null | Cell::Text(_) => String::new(),
    }
}

fn json(ledger: &Ledger, only: Option<&'static Table>, to: &mut dyn Write) -> Result<(), Failure> {
    to.write_all(b"{\n\"schema\": 1").map_err(unwritten)?;
    let (mut within, mut first): (Option<&'static Table>, bool) = (None, true);
    let wanted = TABLES.iter().filter(|table| only.is_none_or(|only| only == *table));
    ledger.export(wanted, |part| {
        match part {
            Part::Table(table) => {
                let end = if within.is_some() { "\n]" } else { "" };
                (within, first) = (Some(table), true);
                write!(to, "{end},\n\"{}\": [", table.name)
            }
            Part::Row(cells) => {
                let columns = within.map(|table| table.columns).unwrap_or_default();
                let row = Row { columns, cells };
                to.write_all(if std::mem::take(&mut first) { b"\n" } else { b",\n" })
                    .and_then(|()| serde_json::to_writer(&mut *to, &row).map_err(io::Error::from))
            }
        }
        .map_err(unwritten)
    })?;
    to.write_all(b"\n]\n}\n").map_err(unwritten)
}

/// A row as an object.
struct Row<'r> {
    columns: &'static [&'static str],
    cells: &'r [Cell],
}

impl serde::Serialize for Row<'_> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.columns.iter().zip(self.cells))
    }
}

/// What kept the export from being written; nobody reads on: no failure at all.
fn unwritten(error: io::Error) -> Failure {
    if error.kind() == io::ErrorKind::BrokenPipe {
        return Failure { code: Code::Done, message: String::new(), hint: None };
    }
    Failure::new(
        Code::Io,
        format!("the export could not be written: {error}"),
        "make room on that disk, or name a file on another with --out",
    )
}
