//! What time it is: civil days for canning, instants for seal checks.

use chrono::{DateTime, FixedOffset, NaiveDate};

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

    /// The clock moved on, for tests.
    #[must_use]
    #[cfg(test)]
    pub(crate) fn after(self, delta: chrono::TimeDelta) -> Self {
        Self { now: self.now + delta }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_civil_day_is_that_of_the_offset() {
        // 23:30 five hours west of Greenwich is the next day in Greenwich.
        let clock =
            Clock { now: DateTime::parse_from_rfc3339("2026-08-15T23:30:00-05:00").expect("a moment") };
        assert_eq!(clock.today(), "2026-08-15".parse().expect("a day"));
        assert_eq!(clock.after(chrono::TimeDelta::hours(1)).today(), "2026-08-16".parse().expect("a day"));
    }
}
