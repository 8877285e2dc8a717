//! The shelf: what stands where, and what is due today.
//!
//! May use what is answered of eating and runs, the ledger and the rules.

pub(crate) mod stock;
pub(crate) mod today;
