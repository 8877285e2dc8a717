//! What facts are made of: names, codes, days and times, measures, kinds. Reading and writing them, no judgement.
//!
//! The lowest layer: uses nothing else of the crate.

pub mod codes;
pub mod kinds;
pub mod measures;
pub mod names;
pub mod time;
