//! Altitudes, pressures and weights, compared exactly.
//!
//! Uses names.

pub mod altitude;
pub mod pounds;
pub mod pressure;
