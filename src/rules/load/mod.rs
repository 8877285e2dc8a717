//! One canner-full: its record, its times, what was found, the verdict and what follows from it.
//!
//! May use: gauge, process, tables, values.

pub mod consequence;
pub mod finding;
pub mod load_record;
pub mod load_times;
pub mod process_record;
pub mod remedy;
pub mod run_time;
pub mod slip;
pub mod verdict;
pub mod verdict_words;
