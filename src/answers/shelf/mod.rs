//! The shelf: what stands where.
//!
//! May use the ledger and the rules.

pub(crate) mod stock;
