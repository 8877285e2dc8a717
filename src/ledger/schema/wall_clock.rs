//! What the clock on the wall shows.

use chrono::{DateTime, FixedOffset, Local};

/// The same instant at the offset in force here then.
///
/// An instant reckoned from a kept one, such as the end of 24 hours, has the offset of that one, and the
/// clocks may go forward or back between the two.
pub(crate) fn on_the_wall(at: DateTime<FixedOffset>) -> DateTime<FixedOffset> {
    at.with_timezone(&Local).fixed_offset()
}
