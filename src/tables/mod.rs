//! Published tables carried inside the crate, tab-separated, each row with its source and basis.
//!
//! May use: values.
//!
//! The tables are constants: any layer may read them, and the rules do. They
//! give times, pressures and quantities only; the steps of the publication that
//! prepare the food are left out.

pub mod acids;
pub mod figures;
pub mod foods;
pub mod no_process;
pub mod notes;
pub mod processes;
pub mod sources;
pub mod spoilage;
pub mod words;
pub mod yields;

use csv::StringRecord;
use serde::de::DeserializeOwned;

/// Reads every row of a table that is part of the crate.
///
/// # Panics
/// On a malformed row. The tests load every table, so none is shipped.
fn rows<T: DeserializeOwned>(text: &str, table: &str) -> Vec<T> {
    let (heads, lines) = heads_and_lines(text);
    lines.map(|line| row(&heads, line, table)).collect()
}

/// The headings of a table, and its rows as lines.
///
/// No cell holds a tab or a line break, so nothing is quoted and a line is split faster than the CSV library could begin: a
/// command that needs one food takes a tenth less time.
fn heads_and_lines(text: &str) -> (StringRecord, std::str::Lines<'_>) {
    let (heads, lines) = text.split_once('\n').unwrap_or_default();
    (heads.split('\t').collect(), lines.lines())
}

/// The first cell of a row, its key.
fn key(line: &str) -> &str {
    line.split('\t').next().unwrap_or_default()
}

/// Reads one row, as [`rows`] does.
fn row<T: DeserializeOwned>(heads: &StringRecord, line: &str, table: &str) -> T {
    let cells: StringRecord = line.split('\t').collect();
    cells
        .deserialize(Some(heads))
        .unwrap_or_else(|err| panic!("the table {table} inside the crate is malformed: {err}"))
}
