//! What a food is, how it is found by its words, which acid it needs and how much produce fills a jar.
//!
//! May use: tables, values.

pub mod acid;
pub mod care;
pub mod food_search;
mod food_words;
pub mod name_check;
pub mod never_food;
pub mod produce;
mod untested;
