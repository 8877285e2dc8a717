//! Sheets by measurement: paper, lengths, and where each label lies.
//!
//! May use: values.

pub mod built_in;
pub mod definition;
pub mod length;
pub mod measures;
pub mod page;
pub mod sheet_error;
pub mod spec;
