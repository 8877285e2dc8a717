//! What holds of the ledger as a whole, and the household that its tests are played in.
//!
//! May use: anything.
//!
//! A rule of one room is tested beside it; the tests there, and those of the answers, begin with a `Household` too.

pub(crate) mod household;
mod laws;
mod one_pass;
pub(in crate::ledger) mod step;
