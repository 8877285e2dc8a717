//! Moments in words.

use chrono::{DateTime, FixedOffset};

use crate::ledger::schema::wall_clock::on_the_wall;
use crate::values::time::clock::Clock;
use crate::values::time::on_screen::moment_in_words;

/// A moment in words, by the clock on this wall: `Saturday 15 August, 04:40`, or with its year.
pub(crate) fn in_words(at: DateTime<FixedOffset>, clock: Clock) -> String {
    moment_in_words(on_the_wall(at), clock.now)
}
