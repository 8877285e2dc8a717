//! Something is wrong: the jars that a trace finds, and those to pull.
//!
//! May use: ledger, rules, values.

pub(crate) mod pulled;
pub(crate) mod trace;
