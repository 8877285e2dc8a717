//! What time it is: civil days for canning, instants for seal checks.

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate, TimeDelta};

/// A moment in words, at the offset it carries: `Saturday 15 August, 04:40`; with its year where that
/// is another than the one of `now`.
pub fn moment_in_words(at: DateTime<FixedOffset>, now: DateTime<FixedOffset>) -> String {
    let year = if at.year() == now.year() { "" } else { " %Y" };
    at.format(&format!("%A %-d %B{year}, %H:%M")).to_string()
}

/// The moment a command runs, read once in `main` and passed down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Clock {
    /// The instant, with the local offset then in force.
    pub now: DateTime<FixedOffset>,
}

impl Clock {
    /// The civil day.
    pub fn today(self) -> NaiveDate {
        self.now.date_naive()
    }

    /// The clock moved on, for tests and the demo.
    #[must_use]
    pub fn after(self, delta: TimeDelta) -> Self {
        Self { now: self.now + delta }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_moment_is_told_by_the_clock_it_carries() {
        // 23:30 five hours west of Greenwich is the next day in Greenwich.
        let now = DateTime::parse_from_rfc3339("2026-08-15T23:30:00-05:00").expect("a moment");
        let clock = Clock { now };
        assert_eq!(moment_in_words(now, now), "Saturday 15 August, 23:30");
        assert_eq!(clock.today(), "2026-08-15".parse().expect("a day"));
        assert_eq!(moment_in_words(clock.after(TimeDelta::hours(1)).now, now), "Sunday 16 August, 00:30");
        let new_year = DateTime::parse_from_rfc3339("2027-01-01T04:40:00-05:00").expect("a moment");
        assert_eq!(moment_in_words(new_year, now), "Friday 1 January 2027, 04:40");
        assert_eq!(moment_in_words(now, new_year), "Saturday 15 August 2026, 23:30");
    }
}
