//! A whole ledger made anew from an export, as JSON or as a folder of CSV files.
//!
//! Rows are taken as they are; afterwards everything that follows from others is derived again
//! and compared, so that an export that was changed by hand is found out.

use std::io::{BufRead, BufReader, Read};
use std::path::Path;

use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Value};

use crate::exchange::problem::{Problem, Problems};
use crate::exchange::whole::csv_out::CODE;
use crate::exchange::whole::formula::unmarked;
use crate::exchange::whole::json_out::FORMAT;
use crate::ledger::copies::dump::{CellKind, Refill, Table};
use crate::ledger::error::LedgerError;
use crate::ledger::error::regular::open_regular;
use crate::ledger::file::new_file::NewFile;
use crate::ledger::schema::cell::Cell;

/// The mark some programs put before UTF-8 text (Unicode Standard, 23.8, "Byte Order Mark").
const MARK: &[u8] = b"\xef\xbb\xbf";

/// Whether a file or folder looks like an export rather than a shelf.
pub(crate) fn is_whole(path: &Path) -> bool {
    if path.is_dir() {
        return true;
    }
    // Bytes read from a pipe to look at them would be missing afterwards.
    if !path.is_file() {
        return false;
    }
    let mut head = Vec::new();
    let read = open_regular(path).and_then(|file| file.take(64).read_to_end(&mut head));
    let head = head.strip_prefix(MARK).unwrap_or(&head);
    read.is_ok() && head.iter().find(|byte| !byte.is_ascii_whitespace()) == Some(&b'{')
}

/// Fills a file in the making from an export, and makes sure the ledger in it fits together.
///
/// # Errors
/// [`LedgerError`] when the disk fails. Problems of the export are the inner error.
pub(crate) fn read_whole(path: &Path, raw: bool, new: &NewFile) -> Result<Result<(), Problems>, LedgerError> {
    let refill = Refill::begin(new)?;
    let read = if path.is_dir() { folder(path, raw, &refill) } else { json(path, &refill) };
    if let Err(problem) = read {
        return Ok(Err(problem.into()));
    }
    let report = match refill.finish(new) {
        Ok(report) => report,
        Err(LedgerError::Unreadable(what)) => return Ok(Err(Problem::of_file(what).into())),
        Err(error) => return Err(error),
    };
    let mut problems = Problems::default();
    for problem in report.problems {
        problems.add(Problem::of_file(format!("{}: {}", problem.code, problem.what)));
    }
    problems.count += report.more;
    Ok(if problems.is_empty() { Ok(()) } else { Err(problems) })
}

fn folder(path: &Path, raw: bool, refill: &Refill) -> Result<(), Problem> {
    for table in refill.tables() {
        let name = format!("{}.csv", table.name);
        let unreadable = |error: &dyn std::fmt::Display| Problem::of_file(format!("{name}: {error}"));
        let file = open_regular(&path.join(&name)).map_err(|error| unreadable(&error))?;
        let mut reader = csv::Reader::from_reader(BufReader::new(file));
        let heads: Vec<String> =
            reader.headers().map_err(|error| unreadable(&error))?.iter().map(str::to_owned).collect();
        let places = columns(table, heads.iter().map(String::as_str)).map_err(|what| unreadable(&what))?;
        for record in reader.records() {
            let record = record.map_err(|error| unreadable(&error))?;
            let line = record.position().map_or(0, csv::Position::line);
            let at_line = |what: String| Problem::of_line(line, format!("{name}: {what}"));
            let cells: Result<Vec<Cell<'_>>, String> = table
                .columns
                .iter()
                .zip(&places)
                .map(|(column, &at)| csv_cell(&record[at], column.kind, raw))
                .collect();
            refill.row(table, &cells.map_err(at_line)?).map_err(at_line)?;
        }
    }
    Ok(())
}

/// Where each column of a table stands, and nothing else stands there.
fn columns<'h>(table: &Table, heads: impl Iterator<Item = &'h str> + Clone) -> Result<Vec<usize>, String> {
    for head in heads.clone() {
        if head != CODE && !table.columns.iter().any(|column| column.name == head) {
            return Err(format!("there is no column {head:?} in a ledger's {}", table.name));
        }
    }
    let place = |name: &str| {
        heads.clone().position(|head| head == name).ok_or_else(|| format!("column {name} is missing"))
    };
    table.columns.iter().map(|column| place(&column.name)).collect()
}

fn csv_cell(text: &str, kind: CellKind, raw: bool) -> Result<Cell<'_>, String> {
    if text.is_empty() {
        return Ok(Cell::Null);
    }
    let number = |_| format!("{text:?} is not a number");
    match kind {
        CellKind::Integer => text.parse().map(Cell::Integer).map_err(number),
        CellKind::Real => text.parse().map(Cell::Real).map_err(|_| format!("{text:?} is not a number")),
        CellKind::Text if raw => Ok(Cell::Text(text)),
        CellKind::Text => Ok(Cell::Text(unmarked(text))),
    }
}

fn json(path: &Path, refill: &Refill) -> Result<(), Problem> {
    let file = open_regular(path).map_err(|error| Problem::of_file(error.to_string()))?;
    let mut file = BufReader::new(file);
    if file.fill_buf().is_ok_and(|head| head.starts_with(MARK)) {
        file.consume(MARK.len());
    }
    let mut from = serde_json::Deserializer::from_reader(file);
    let read = Tables { refill }.deserialize(&mut from).and_then(|()| from.end());
    read.map_err(|error| match error.line() {
        0 => Problem::of_file(error.to_string()),
        line => Problem::of_line(line as u64, error.to_string()),
    })
}

/// Takes the export's object key by key and each table's rows one by one, so that its size is no matter.
struct Tables<'r> {
    refill: &'r Refill,
}

impl<'de> DeserializeSeed<'de> for Tables<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        deserializer.deserialize_map(self)
    }
}

impl<'de> Visitor<'de> for Tables<'_> {
    type Value = ();

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "what `export --json` writes")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        let mut recognised = false;
        let mut seen: Vec<String> = Vec::new();
        while let Some(key) = map.next_key::<String>()? {
            if key == "format" {
                recognised = map.next_value::<String>()? == FORMAT;
            } else if key == "schema" || key == "ledger_schema" {
                map.next_value::<Value>()?;
            } else if let Some(table) = self.refill.tables().iter().find(|table| table.name == key) {
                if seen.contains(&key) {
                    return Err(A::Error::custom(format!("table {key} is there twice")));
                }
                map.next_value_seed(Rows { refill: self.refill, table })?;
                seen.push(key);
            } else {
                return Err(A::Error::custom(format!("there is no table {key:?} in a ledger")));
            }
        }
        if !recognised {
            return Err(A::Error::custom("it does not say that it is an export of a ledger"));
        }
        match self.refill.tables().iter().find(|table| !seen.contains(&table.name)) {
            Some(table) => Err(A::Error::custom(format!("table {} is missing", table.name))),
            None => Ok(()),
        }
    }
}

/// Takes one table's rows.
struct Rows<'r> {
    refill: &'r Refill,
    table: &'r Table,
}

impl<'de> DeserializeSeed<'de> for Rows<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        deserializer.deserialize_seq(self)
    }
}

impl<'de> Visitor<'de> for Rows<'_> {
    type Value = ();

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the rows of {}", self.table.name)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut rows: A) -> Result<(), A::Error> {
        while let Some(row) = rows.next_element::<Map<String, Value>>()? {
            let wrong = |what: String| A::Error::custom(format!("{}: {what}", self.table.name));
            columns(self.table, row.keys().map(String::as_str)).map_err(wrong)?;
            let cells: Result<Vec<Cell<'_>>, String> = self
                .table
                .columns
                .iter()
                .map(|column| {
                    json_cell(&row[&column.name], column.kind)
                        .ok_or_else(|| format!("{} cannot be {}", column.name, row[&column.name]))
                })
                .collect();
            self.refill.row(self.table, &cells.map_err(wrong)?).map_err(wrong)?;
        }
        Ok(())
    }
}

fn json_cell(value: &Value, kind: CellKind) -> Option<Cell<'_>> {
    match (kind, value) {
        (_, Value::Null) => Some(Cell::Null),
        (CellKind::Integer, Value::Number(number)) => number.as_i64().map(Cell::Integer),
        (CellKind::Real, Value::Number(number)) => number.as_f64().map(Cell::Real),
        (CellKind::Text, Value::String(text)) => Some(Cell::Text(text)),
        _ => None,
    }
}
