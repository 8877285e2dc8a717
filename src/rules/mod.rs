//! The rules of the trade: pure judgement.
//!
//! May use: tables, values.
//!
//! No SQL, clock, files or environment: what a rule needs to know enters as a parameter.

pub mod canning_day;
pub mod eating;
pub mod food;
pub mod gauge;
pub mod jar;
pub mod load;
pub mod process;
pub mod recipe;
pub mod seal;
pub mod spoilage;
