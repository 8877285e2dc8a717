//! The words on a label, what of them can be printed, and where lines break.
//!
//! Uses the font, rules and values.

pub mod block;
pub mod breaks;
pub mod by_hand;
pub mod printable;
pub mod run;
pub mod wording;
