//! Days and moments in words.

use chrono::{DateTime, FixedOffset, NaiveDate};

use crate::ledger::kitchen::wall_clock::on_the_wall;
use crate::values::time::clock::{Clock, moment_in_words};

/// A moment in words, by the clock on this wall: `Saturday 15 August, 04:40`, or with its year.
pub(crate) fn in_words(at: DateTime<FixedOffset>, clock: Clock) -> String {
    moment_in_words(on_the_wall(at), clock.now)
}

/// A day in words: `Friday 14 August 2026`.
pub(crate) fn day_in_words(day: NaiveDate) -> String {
    day.format("%A %-d %B %Y").to_string()
}
