//! Before the day: processes, the plan of a batch, the season.
//!
//! May use arguments, talk and the ledger.

pub(super) mod plan;
pub(super) mod process;
pub(super) mod recipe;
pub(super) mod season;
