//! What a food is, how it is found by its words, which acid it needs and how much produce fills a jar.
//!
//! May use tables and values.

pub mod acid;
pub mod care;
pub mod food_search;
pub mod name_check;
pub mod produce;
