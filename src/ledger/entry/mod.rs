//! Entries: writing one, taking it back, correcting a record, and their history.
//!
//! May use the subjects whose facts it folds anew.

pub mod correct_field;
pub(crate) mod correction;
pub mod history;
pub mod names;
pub(crate) mod names_in_use;
pub mod write;
