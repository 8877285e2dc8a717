//! Counts over the whole shelf: use, waste, seals, dates to keep, a stocktake.
//!
//! May use: entry, error, file, jar, schema, rules, values.

pub mod appetite;
pub mod count;
pub mod dates;
pub mod left_shelf;
pub mod past_year;
pub mod seal_counts;
pub mod wasted;

#[cfg(test)]
mod appetite_tests;
#[cfg(test)]
mod count_tests;
