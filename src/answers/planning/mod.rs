//! Planning: tested processes and what a dial must show for one, a batch to come, and a day by a recipe.
//!
//! May use: jars, ledger, rules, tables, values.

pub(crate) mod day;
pub(crate) mod day_canners;
pub(crate) mod gauge_target;
pub(crate) mod plan;
pub(crate) mod process;
pub(crate) mod processes;
pub(crate) mod shopping;
pub(crate) mod words;
