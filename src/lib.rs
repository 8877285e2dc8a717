//! A ledger for one household's home-canned jars, in one SQLite file.
//!
//! Calls go down only: `cli` → `ledger` → `rules`, `cli` → `paper` → `rules`.
//! `ledger` and `paper` never meet; `exchange` calls `ledger`, and `rules` and `tables` know each other.

pub mod cli;
pub mod exchange;
pub mod ledger;
pub mod paper;
pub mod rules;
pub mod tables;
