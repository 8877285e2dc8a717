//! The record put right: corrections, and entries taken back and brought back.
//!
//! May use the subjects whose facts it folds anew.

pub mod correct;
pub mod undo;

#[cfg(test)]
mod correct_tests;
