//! The shelf: what stands where, what is due today, and the dates to keep.
//!
//! May use what is answered of eating and runs, the ledger and the rules.

pub(crate) mod calendar;
pub(crate) mod stock;
pub(crate) mod today;
