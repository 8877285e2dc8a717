//! A whole ledger out and in, as CSV or JSON.
//!
//! May use: ledger.

pub mod csv_out;
pub mod dictionary;
pub mod formula;
pub mod json_out;
pub mod whole_in;
