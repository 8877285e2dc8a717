//! The shelf: what stands where, what is due today, the dates to keep, and all of it at once.
//!
//! May use what is answered of eating and runs, the ledger and the rules.

pub(crate) mod calendar;
pub(crate) mod report;
pub(crate) mod stock;
pub(crate) mod today;
