//! How text fits a shape, and where words and symbol go.
//!
//! May use words, sheet and draw/symbol.

pub mod layout;
pub mod shrink;
