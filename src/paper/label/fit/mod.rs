//! How text fits a shape, and where words and symbol go.
//!
//! May use words, sheet and draw/symbol.

pub mod area;
pub mod cut;
pub mod fill;
pub mod layout;
pub mod setting;
pub mod shrink;
pub mod symbol;
