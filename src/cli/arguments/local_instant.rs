//! The instant that a clock on the wall shows.

use std::time::SystemTime;

use chrono::{DateTime, FixedOffset, Local, MappedLocalTime, NaiveDateTime, TimeZone};

/// What the machine's clock shows, in whichever year.
pub(in crate::cli) fn machine_clock() -> DateTime<Local> {
    SystemTime::now().into()
}

/// The instant a local wall clock shows `moment`: the first of the two where the clocks go back; in the hour that
/// a clock change skips, the one after it.
pub(in crate::cli) fn local_instant(moment: NaiveDateTime) -> DateTime<FixedOffset> {
    let first = |moment: NaiveDateTime| match Local.from_local_datetime(&moment) {
        MappedLocalTime::Single(instant) => Some(instant),
        // They come in either order, by the season the zone calls its standard one.
        MappedLocalTime::Ambiguous(one, other) => Some(one.min(other)),
        MappedLocalTime::None => None,
    };
    first(moment)
        .or_else(|| first(moment + chrono::TimeDelta::hours(1)))
        .map_or_else(|| moment.and_utc().fixed_offset(), |instant| instant.fixed_offset())
}
