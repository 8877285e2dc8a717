//! How text and symbol fit a shape, and where each goes.
//!
//! May use: sheet, words, font, values.

pub mod area;
pub mod cut;
pub mod fill;
pub mod layout;
pub mod setting;
pub mod shrink;
pub mod symbol;
