//! Text and tables for a terminal, and lines that more than one paper shows.
//!
//! May use: rules, values.

pub mod lines;
pub mod mark;
pub mod plain;
pub mod table;
