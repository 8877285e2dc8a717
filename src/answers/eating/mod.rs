//! Eating: what to decide on and eat first, what to put up for the next season, and what to know of a jar opened, eaten up or thrown away.
//!
//! May use the ledger and the rules.

pub(crate) mod decide;
pub(crate) mod discard;
pub(crate) mod eat;
pub(crate) mod finish;
pub(crate) mod open;
pub(crate) mod season;

#[cfg(test)]
mod tests;
