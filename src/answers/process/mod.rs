//! Tested processes: what is owed to a food, the whole table, the household's own, and what a dial must show.
//!
//! May use the ledger, the rules and the tables.

pub(crate) mod find;
pub(crate) mod gauge_target;
pub(crate) mod list;
