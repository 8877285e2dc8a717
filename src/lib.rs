//! A ledger for one household's home-canned jars, in one SQLite file.
//!
//! Calls go down only: `cli` → `answers`, `exchange` → `ledger` → `rules` → `tables` → `values`, and `cli` →
//! `paper` → `rules`.
//! `ledger` and `paper` never meet. `tests/rooms.rs` holds the arrows.

pub mod answers;
pub mod cli;
pub mod exchange;
pub mod ledger;
pub mod page;
pub mod paper;
pub mod rules;
pub mod tables;
pub mod values;
