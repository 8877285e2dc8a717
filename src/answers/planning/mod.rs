//! Planning: tested processes and what a dial must show for one, a batch to come, and what a recipe takes.
//!
//! May use what is answered of jars, the ledger, the rules and the tables.

pub(crate) mod gauge_target;
pub(crate) mod plan;
pub(crate) mod process;
pub(crate) mod processes;
pub(crate) mod shopping;
