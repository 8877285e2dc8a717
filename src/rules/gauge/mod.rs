//! Dial gauges: what a test found, what a reading is worth, which test counts for a load.
//!
//! May use: values.

pub mod dial;
pub mod dial_gauge;
pub mod gauge_history;
