//! CSV and JSON in and out.
//!
//! Coming in, nothing is guessed: bytes are decoded by their mark or refused, a date is read one
//! way or refused with both readings, and every problem of a file is told with its line and
//! column before any row counts. Going out, whatever a spreadsheet could take for a formula is
//! marked, reversibly.

mod cells;
mod columns;
mod csv_out;
mod day;
mod decode;
mod dictionary;
mod formula;
mod json_out;
mod problem;
mod shelf_csv;
mod whole_in;

pub use columns::{COLUMNS, ColumnChoice};
pub use csv_out::{OutError, write_csv, write_folder};
pub use day::DateOrder;
pub use decode::Encoding;
pub use dictionary::{Meaning, dictionary};
pub use json_out::write_json;
pub use problem::{Problem, Problems};
pub use shelf_csv::{Reading, read_shelf};
pub use whole_in::{is_whole, read_whole};
