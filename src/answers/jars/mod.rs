//! Jars and their batches: where they stand, their story, and their seals.
//!
//! May use: ledger, rules, values.

pub(crate) mod batch;
pub(crate) mod correction_lines;
pub(crate) mod count;
pub(crate) mod jar;
pub(crate) mod load_lines;
pub(crate) mod rescue_lines;
pub(crate) mod seal;
pub(crate) mod seal_lines;
pub(crate) mod sizes;
pub(crate) mod stands;
pub(crate) mod verdict_lines;
pub(crate) mod what_it_is;
