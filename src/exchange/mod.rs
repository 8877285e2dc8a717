//! CSV and JSON in and out.
//!
//! May use: ledger, rules, values.
//!
//! Coming in, nothing is guessed: bytes are decoded by their mark or refused, a date is read one
//! way or refused with both readings, and every problem of a file is reported with its line and
//! column before any row counts. Going out, whatever a spreadsheet could take for a formula is
//! marked, reversibly.

pub mod problem;
pub mod shelf;
pub mod whole;
