//! Published tables carried inside the crate, each row with its source and basis.
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
fn rows<T: DeserializeOwned>(csv_text: &str, table: &str) -> Vec<T> {
    csv::Reader::from_reader(csv_text.as_bytes())
        .into_deserialize()
        .map(|row| row.unwrap_or_else(|err| malformed(table, &err)))
        .collect()
}

/// Reads the cells of every row, as [`rows`] does.
fn records(csv_text: &str, table: &str) -> impl Iterator<Item = StringRecord> {
    csv::Reader::from_reader(csv_text.as_bytes())
        .into_records()
        .map(move |record| record.unwrap_or_else(|err| malformed(table, &err)))
}

fn malformed(table: &str, err: &csv::Error) -> ! {
    panic!("the table {table} inside the crate is malformed: {err}")
}
