//! Looking for spoilage, suspect jars, and every caution the program shows.
//!
//! May use: food, jar, tables, values.

pub mod cautions;
pub mod signs;
pub mod signs_in_short;
pub mod suspect;
