//! Civil days, months, clock times, and the clock a command runs by.
//!
//! May use: names.

pub mod civil_day;
pub mod clock;
pub mod clock_time;
pub mod day_words;
pub mod duration;
pub(crate) mod iso_day;
pub mod month;
pub mod month_in_letters;
pub mod on_screen;
pub(crate) mod three_numbers;
