//! The day itself: putting up, seals, chilling and freezing, labels.
//!
//! May use: arguments, talk, answers, ledger, paper, rules, values.

pub(super) mod chill;
pub(super) mod freeze;
pub(super) mod label;
pub(super) mod putup;
pub(super) mod run;
pub(super) mod seal;
