//! A batch to come: its loads, and how the day goes.
//!
//! May use process, tables and values.

pub mod day;
pub mod loading;
pub mod own_times;
pub mod planned_day;
pub mod run;
pub mod shortest;
