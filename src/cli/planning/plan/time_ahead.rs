//! Moments still to come, as people type them: `18:00`, `tomorrow 9am`, `Saturday 18:00`, a date and a time.

use std::str::FromStr;

use chrono::{DateTime, Datelike, Days, FixedOffset, NaiveDate, NaiveTime, Weekday};

use crate::cli::arguments::local_instant::{
    NotOneInstant, by_clocks_here, local_instant, one_instant, read_instant,
};
use crate::values::time::civil_day::{DayError, DayWord, parse_day};
use crate::values::time::clock_time::ClockTime;

/// A moment still to come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TimeAhead {
    /// On the next day that fits, or on this one.
    Shown { day: Option<DayAhead>, time: ClockTime },
    /// With how far the clock stands from UTC, where it shows the time twice.
    Instant(DateTime<FixedOffset>),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum DayAhead {
    In(u64),
    Next(Weekday),
    On(NaiveDate),
}

impl FromStr for TimeAhead {
    type Err = String;

    fn from_str(given: &str) -> Result<Self, String> {
        let text = given.trim();
        if let Ok(time) = text.parse() {
            return Ok(Self::Shown { day: None, time });
        }
        if let Some(instant) = read_instant(text) {
            return Ok(Self::Instant(instant));
        }
        let breaks = text.char_indices().filter(|(_, letter)| *letter == ' ' || *letter == 'T');
        for (at, _) in breaks {
            let (before, after) = (text[..at].trim(), text[at + 1..].trim());
            for (day, time) in [(before, after), (after, before)] {
                let Ok(time) = time.parse() else { continue };
                match day_ahead(day) {
                    Ok(day) => return Ok(Self::Shown { day: Some(day), time }),
                    Err(DayError::Unknown(_)) => {}
                    Err(error) => return Err(error.to_string()),
                }
            }
        }
        Err(format!(
            "\u{201c}{given}\u{201d} is not a time to come; write 18:00, tomorrow 9:00, Saturday 6pm or 2026-08-14 18:00"
        ))
    }
}

fn day_ahead(text: &str) -> Result<DayAhead, DayError> {
    match DayWord::read(text) {
        Some(DayWord::Ago(0)) => Ok(DayAhead::In(0)),
        Some(DayWord::Last(weekday)) => Ok(DayAhead::Next(weekday)),
        Some(DayWord::Ago(_)) => Err(DayError::Unknown(text.to_owned())),
        None if text.eq_ignore_ascii_case("tomorrow") => Ok(DayAhead::In(1)),
        // An exact day, so that it does not depend on today.
        None => parse_day(text, NaiveDate::MIN).map(DayAhead::On),
    }
}

impl TimeAhead {
    /// The moment, seen from `now`: a bare time is the next such time, a weekday the next such day with that time
    /// still ahead.
    ///
    /// # Errors
    /// Where the clocks here show it twice or never.
    pub(super) fn seen_from(
        self,
        now: DateTime<FixedOffset>,
    ) -> Result<DateTime<FixedOffset>, NotOneInstant> {
        let (day, time) = match self {
            Self::Shown { day, time } => (day, time),
            Self::Instant(instant) => return by_clocks_here(instant),
        };
        let today = now.date_naive();
        let minutes = u32::from(time.minutes());
        let time =
            NaiveTime::from_hms_opt(minutes / 60, minutes % 60, 0).expect("a clock time is within a day");
        let on = |days: u64| today.checked_add_days(Days::new(days)).unwrap_or(NaiveDate::MAX).and_time(time);
        let has_passed = |moment| local_instant(moment) < now;
        one_instant(match day {
            Some(DayAhead::On(day)) => day.and_time(time),
            Some(DayAhead::In(days)) => on(days),
            Some(DayAhead::Next(weekday)) => {
                let days = u64::from(weekday.days_since(today.weekday()));
                if has_passed(on(days)) { on(days + 7) } else { on(days) }
            }
            None if has_passed(on(0)) => on(1),
            None => on(0),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_to_come_is_never_one_that_has_passed() {
        // 15 August 2026 is a Saturday.
        let now = local_instant("2026-08-15T14:00:00".parse().unwrap());
        let at =
            |text: &str| text.parse::<TimeAhead>().unwrap().seen_from(now).unwrap().naive_local().to_string();
        assert_eq!(at("18:00"), "2026-08-15 18:00:00");
        assert_eq!(at("9am"), "2026-08-16 09:00:00");
        assert_eq!(at("tomorrow 9:00"), "2026-08-16 09:00:00");
        assert_eq!(at("today 9:00"), "2026-08-15 09:00:00");
        assert_eq!(at("Saturday 6pm"), "2026-08-15 18:00:00");
        assert_eq!(at("6:00 pm saturday"), "2026-08-15 18:00:00");
        assert_eq!(at("sat 9:00"), "2026-08-22 09:00:00");
        assert_eq!(at("wednesday 9:00"), "2026-08-19 09:00:00");
        assert_eq!(at("2026-09-01T07:30"), "2026-09-01 07:30:00");
        for wrong in ["", "soon", "18", "yesterday 9:00", "-3d 9:00", "2026-02-30 9:00", "9:00 9:00"] {
            assert!(wrong.parse::<TimeAhead>().is_err(), "{wrong}");
        }
    }
}
