//! Altitudes, pressures and weights, compared exactly, and which of their units come first.
//!
//! May use: names.

pub mod altitude;
pub(crate) mod in_words;
pub mod pounds;
pub mod pressure;
pub mod units;
