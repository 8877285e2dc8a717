//! A ledger for one household's home-canned jars, in one SQLite file.
//!
//! Calls go down only: `cli` → `ledger` → `rules`, `cli` → `paper` → `rules`.
//! `ledger` and `paper` never meet.

pub mod cli;
pub mod exchange;
pub mod ledger;
pub mod paper;
pub mod rules;
pub mod tables;
