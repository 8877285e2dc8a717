//! The shelf: what stands where, what is due today, the dates to keep, and all of it at once.
//!
//! May use: eating, ledger, rules, values.

pub(crate) mod calendar;
pub(crate) mod report;
pub(crate) mod stock;
pub(crate) mod today;
