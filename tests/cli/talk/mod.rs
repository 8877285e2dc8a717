//! How answers look: cautions, days, long and narrow ones, and what a terminal shows.

mod cautions;
mod long_answers;
mod narrow;
mod progress;
mod screens;
mod shown_days;
