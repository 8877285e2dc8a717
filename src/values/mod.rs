//! What facts are made of: names, codes, days and times, measures, kinds. Reading and writing them, no judgement.
//!
//! May use: nothing.

pub mod codes;
pub mod kinds;
pub mod measures;
pub mod names;
pub mod time;
