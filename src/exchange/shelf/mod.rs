//! A shelf that was kept elsewhere, read from a file.
//!
//! May use: whole, ledger, rules, values.

pub mod cells;
pub mod columns;
pub mod day;
pub mod decode;
pub mod guess;
pub mod look;
pub mod shelf_csv;
