//! Entries: writing one, the names and fields it may hold, corrections in force, and the history.
//!
//! May use: error, file, schema, values.

pub mod correct_field;
pub(crate) mod correction;
pub mod history;
pub mod names;
pub(crate) mod names_in_use;
pub mod write;
