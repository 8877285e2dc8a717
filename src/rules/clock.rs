//! What time it is: civil days for canning, instants for seal checks.

use chrono::{DateTime, FixedOffset, NaiveDate, TimeDelta};

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
