//! Eating: what to decide on and eat first, what to put up next, and what to know of a jar opened, used up or thrown away.
//!
//! May use: ledger, rules, tables, values.

pub(crate) mod decide;
pub(crate) mod discard;
pub(crate) mod eat;
pub(crate) mod finish;
pub(crate) mod open;
pub(crate) mod season;

#[cfg(test)]
mod tests;
