//! Something is wrong: the jars that a trace finds, and those to pull.
//!
//! May use the ledger and the rules.

pub(crate) mod pulled;
pub(crate) mod trace;
