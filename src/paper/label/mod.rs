//! Labels for jars: sheets of stickers and lid rounds as a PDF.
//!
//! May use: font, rules, values.

pub mod draw;
pub mod fit;
pub mod sheet;
pub mod words;
