//! The record put right: corrections, and entries taken back and brought back.
//!
//! May use: batch, check, entry, error, file, jar, schema, trace, rules, values.

pub mod correct;
pub mod undo;

#[cfg(test)]
mod correct_tests;
