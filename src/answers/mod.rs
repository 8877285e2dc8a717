//! What the commands and the page answer, as plain values, and the words for them.
//!
//! May use: ledger, rules, tables, values.
//!
//! No arguments, no terminal, no SQL.

pub(crate) mod acts;
pub(crate) mod eating;
pub(crate) mod jars;
pub(crate) mod moments;
pub(crate) mod near;
pub(crate) mod planning;
pub(crate) mod recall;
pub(crate) mod run;
pub(crate) mod say;
pub mod serving;
pub(crate) mod shelf;
pub(crate) mod streamed;
pub(crate) mod word;
