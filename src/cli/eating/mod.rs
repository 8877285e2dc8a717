//! Eating: what to eat first, and jars opened, finished, given and discarded.
//!
//! May use: arguments, talk, answers, ledger, paper, rules, tables, values.

pub(super) mod discard;
pub(super) mod eat;
pub(super) mod finish;
pub(super) mod give;
pub(super) mod open;
