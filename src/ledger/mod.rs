//! The query layer: the only SQL in the program.
//!
//! May use: rules, tables, values.
//!
//! `Ledger` is an open file, reading only unless opened for writing. A command
//! that changes something does so inside one `Ledger::write`, which is one
//! transaction and one entry; everything readable is readable there too, since a
//! `Write` is a `Ledger` seen from inside its transaction.

pub mod amend;
pub mod batch;
pub mod check;
pub mod copies;
pub mod counts;
pub mod entry;
pub mod error;
pub mod file;
pub mod jar;
pub mod kitchen;
pub mod schema;
#[cfg(test)]
pub(crate) mod tests;
pub mod trace;

/// The newest schema this build reads, as `major.minor`.
pub(crate) fn schema_version() -> String {
    schema::version::Version::CURRENT.to_string()
}

/// The version of SQLite in this build.
pub(crate) fn sqlite_version() -> &'static str {
    rusqlite::version()
}
