//! The kitchen: canners, gauges, own processes, recipes, runs, settings, label sheets.
//!
//! May use: batch, entry, error, file, schema, rules, values.

pub mod canner;
pub mod canner_use;
pub mod gauge;
pub mod household_process;
pub mod label_sheet;
pub mod own_times;
pub mod recipe;
pub mod run;
pub mod setting;

#[cfg(test)]
mod gauge_tests;
#[cfg(test)]
mod recipe_tests;
