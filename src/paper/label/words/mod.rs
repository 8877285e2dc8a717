//! The words on a label: which they are, what of them can be printed, and where their lines break.
//!
//! May use: sheet, font, rules, values.

pub mod block;
pub mod breaks;
pub mod by_hand;
pub mod printable;
pub mod run;
pub mod wording;
