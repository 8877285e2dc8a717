//! What to eat when, whether it will last, and what to put up for the next season.
//!
//! May use: canning_day, food, process, values.

pub mod dispersion;
pub mod history;
pub mod keep_up;
pub mod level_plan;
pub mod past_use;
pub mod predictive;
pub mod rotation;
pub mod season;
pub mod season_work;
pub mod sureness;
pub mod what_if;
