//! A batch to come: its loads, and how the day goes.
//!
//! May use: gauge, load, process, recipe, tables, values.

pub mod day;
pub mod loading;
pub mod own_times;
pub mod planned_day;
pub mod run;
pub mod shortest;
