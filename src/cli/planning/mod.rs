//! Before the day: processes, the plan of a batch, the season.
//!
//! May use: arguments, canning_day, kitchen, talk, answers, ledger, paper, rules, tables, values.

pub(super) mod plan;
pub(super) mod process;
pub(super) mod recipe;
pub(super) mod season;
