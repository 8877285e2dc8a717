//! Codes of batches, loads and jars, and the lines and lists they are written in.
//!
//! May use: kinds, names.

pub mod count_line;
pub mod jar_code;
pub mod jar_list;
pub mod jar_word;
pub mod load_code;
