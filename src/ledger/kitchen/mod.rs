//! The kitchen: canners, gauges, own processes, settings, label sheets, names of products and places.
//!
//! May use entry and schema.

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
