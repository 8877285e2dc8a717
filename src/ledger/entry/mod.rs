//! Entries: writing one, taking it back, correcting a record, and their history.
//!
//! May use the subjects whose facts it folds anew.

pub mod asked;
pub mod correct;
pub mod correct_field;
pub mod history;
pub mod kept;
pub mod undo;
pub mod write;

#[cfg(test)]
mod correct_tests;
