//! Seals: when they are checked, and which lots fail more often than the rest.
//!
//! May use: load, values.

pub mod chances;
pub mod seal_statistics;
pub mod seal_window;
