//! A household's way to one product: its amounts for any number of jars, and the file it is written in.
//!
//! May use: food, tables, values.

pub mod amount;
pub mod definition;
pub mod recipe_file;
