//! Moments as people tell them: `14:05`, or a day and a time.

use std::str::FromStr;

use chrono::{DateTime, Datelike, FixedOffset, Local, NaiveDate, NaiveDateTime, NaiveTime, TimeDelta};

use super::context::local_instant;
use crate::rules::clock::moment_in_words;
use crate::rules::clock_time::ClockTime;

/// A time of day, or a day and a time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Moment {
    /// On a day that follows from elsewhere.
    Clock(ClockTime),
    /// On this day.
    At(NaiveDateTime),
}

impl FromStr for Moment {
    type Err = String;

    fn from_str(given: &str) -> Result<Self, String> {
        let text = given.trim();
        // A note written by a program may give seconds, as TOML's own times do.
        let minutes = text.strip_suffix(":00").filter(|minutes| minutes.contains(':')).unwrap_or(text);
        if let Ok(time) = minutes.parse() {
            return Ok(Self::Clock(time));
        }
        ["%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M"]
            .iter()
            .find_map(|form| NaiveDateTime::parse_from_str(minutes, form).ok())
            .filter(|moment| (1900..=2199).contains(&moment.year()))
            .map(Self::At)
            .ok_or_else(|| {
                format!(
                    "\u{201c}{given}\u{201d} is not a time; write 14:05, or 2026-08-14T14:05 with its day"
                )
            })
    }
}

impl Moment {
    /// The instant, a bare time of day being on `day`.
    pub(super) fn on(self, day: NaiveDate) -> DateTime<FixedOffset> {
        match self {
            Self::Clock(time) => local_instant(day.and_time(naive(time))),
            Self::At(moment) => local_instant(moment),
        }
    }

    /// The instant, a bare time of day being the last one at or before `end`.
    pub(super) fn at_or_before(self, end: DateTime<FixedOffset>) -> DateTime<FixedOffset> {
        match self {
            Self::Clock(_) => {
                let same_day = self.on(end.date_naive());
                if same_day <= end { same_day } else { self.on(end.date_naive() - TimeDelta::days(1)) }
            }
            Self::At(_) => self.on(end.date_naive()),
        }
    }
}

fn naive(time: ClockTime) -> NaiveTime {
    let minutes = u32::from(time.minutes());
    NaiveTime::from_hms_opt(minutes / 60, minutes % 60, 0).expect("a clock time is within a day")
}

/// A moment in words, by the clock on this wall: `Saturday 15 August, 04:40`.
///
/// The clocks may have gone forward or back since the offset the moment was kept in.
pub(super) fn in_words(at: DateTime<FixedOffset>) -> String {
    moment_in_words(at.with_timezone(&Local).fixed_offset())
}

/// A day in words: `Friday 14 August 2026`.
pub(super) fn day_in_words(day: NaiveDate) -> String {
    day.format("%A %-d %B %Y").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bare_time_is_the_last_one_before_the_end() {
        let end = local_instant("2026-08-15T00:30:00".parse().unwrap());
        let at = |text: &str| text.parse::<Moment>().unwrap().at_or_before(end).naive_local().to_string();
        assert_eq!(at("23:50"), "2026-08-14 23:50:00");
        assert_eq!(at("0:30"), "2026-08-15 00:30:00");
        assert_eq!(at("2026-08-13 09:00"), "2026-08-13 09:00:00");
        assert_eq!(at("2026-08-13T09:00:00"), "2026-08-13 09:00:00");
        assert_eq!(at("09:00"), at("09:00:00"));
        for wrong in ["", "noon", "14", "2026-08-14", "2026-02-30T10:00", "14:05:09"] {
            assert!(wrong.parse::<Moment>().is_err(), "{wrong}");
        }
    }
}
