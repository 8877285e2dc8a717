//! Moments as people type them: `14:05`, or a day and a time.

use std::str::FromStr;

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveDateTime, NaiveTime, TimeDelta};

use crate::cli::arguments::local_instant::{by_clocks_here, local_instant, one_instant, read_instant};
use crate::cli::errors::Failure;
use crate::rules::load::load_times::MOST_HOURS;
use crate::values::time::civil_day::{DayError, DayWord, parse_day};
use crate::values::time::clock_time::{ClockTime, read_time};

/// A bare time of day this long ago, with no day given, is as likely a slip as the evening before.
pub(in crate::cli) const LATELY: TimeDelta = HALF_A_DAY;

const HALF_A_DAY: TimeDelta = TimeDelta::hours(12);

/// A time of day, or a day and a time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::cli) enum Moment {
    /// On a day that follows from elsewhere.
    Clock(ClockTime),
    /// The same, in the morning unless that leaves the afternoon as well: `9:15`.
    Bare(ClockTime),
    /// On a day named by a word.
    Word(DayWord, ClockTime),
    /// On this day.
    At(NaiveDateTime),
    /// With how far the clock stood from UTC, where it shows the time twice.
    Instant(DateTime<FixedOffset>),
}

impl FromStr for Moment {
    type Err = String;

    fn from_str(given: &str) -> Result<Self, String> {
        let text = given.trim();
        // A note written by a program may give seconds, as TOML's own times do.
        let minutes = text.strip_suffix(":00").filter(|minutes| minutes.contains(':')).unwrap_or(text);
        if let Some((time, is_plain)) = read_time(minutes) {
            return Ok(if is_plain { Self::Clock(time) } else { Self::Bare(time) });
        }
        if let Some(instant) = read_instant(text) {
            return Ok(Self::Instant(instant));
        }
        let refused = || {
            format!(
                "\u{201c}{given}\u{201d} is not a time; write 14:05, or with its day 2026-08-14T14:05 or yesterday 14:05"
            )
        };
        // `yesterday 9pm`, `9pm yesterday`, `July 4, 2026 14:05`.
        let places = minutes.match_indices([' ', 'T']).map(|(at, _)| (&minutes[..at], &minutes[at + 1..]));
        let (day, (time, is_plain)) = places
            .flat_map(|(front, back)| [(front, read_time(back)), (back, read_time(front))])
            .find_map(|(day, time)| Some((day.trim(), time.filter(|_| is_day(day.trim()))?)))
            .ok_or_else(refused)?;
        if !is_plain {
            return Err(format!("\u{201c}{given}\u{201d} {IN_EITHER_HALF}; write {}", both_halves(time)));
        }
        if let Some(word) = DayWord::read(day) {
            return Ok(Self::Word(word, time));
        }
        // An exact day, so that it does not depend on today.
        match parse_day(day, NaiveDate::MIN) {
            Ok(day) => Ok(Self::At(day.and_time(naive(time)))),
            Err(DayError::Unknown(_)) => Err(refused()),
            Err(error) => Err(error.to_string()),
        }
    }
}

/// Whether a text tells a day, or would in another order.
fn is_day(text: &str) -> bool {
    DayWord::read(text).is_some() || !matches!(parse_day(text, NaiveDate::MIN), Err(DayError::Unknown(_)))
}

const IN_EITHER_HALF: &str = "may be in the morning or in the afternoon";

fn on_the_face(time: ClockTime) -> String {
    format!("{}:{:02}", time.minutes() / 60, time.minutes() % 60)
}

fn both_halves(time: ClockTime) -> String {
    let face = on_the_face(time);
    format!("{face}am or {face}pm")
}

impl Moment {
    /// The day it names itself.
    pub(in crate::cli) fn day(self, today: NaiveDate) -> Option<NaiveDate> {
        match self {
            Self::Clock(_) | Self::Bare(_) => None,
            Self::Word(word, _) => word.seen_from(today),
            Self::At(moment) => Some(moment.date()),
            Self::Instant(instant) => Some(instant.date_naive()),
        }
    }

    /// Whether it says which of two hours it means where the clocks show one twice.
    pub(in crate::cli) const fn is_exact(self) -> bool {
        matches!(self, Self::Instant(_))
    }

    /// The instant, a bare time of day being on `day`.
    pub(in crate::cli) fn on(self, day: NaiveDate, today: NaiveDate) -> DateTime<FixedOffset> {
        let day = self.day(today).unwrap_or(day);
        match self {
            Self::Clock(time) | Self::Bare(time) | Self::Word(_, time) => {
                local_instant(day.and_time(naive(time)))
            }
            Self::At(moment) => local_instant(moment),
            Self::Instant(instant) => instant,
        }
    }

    /// The instant this moment stands for. Refused: a time that could be of the morning or of the evening, and one that the
    /// clocks here do not show at that instant.
    pub(in crate::cli) fn once(
        self,
        at: DateTime<FixedOffset>,
        now: DateTime<FixedOffset>,
    ) -> Result<DateTime<FixedOffset>, Failure> {
        if let Self::Bare(time) = self
            && at + HALF_A_DAY <= now
        {
            return Err(Failure::usage(
                format!("{} {IN_EITHER_HALF}; nothing was saved", on_the_face(time)),
                format!("write {}", both_halves(time)),
            ));
        }
        let here = match self {
            Self::Instant(instant) => by_clocks_here(instant),
            _ => one_instant(at.naive_local()),
        };
        here.map_err(|not_one| not_one.refused("nothing was saved"))
    }

    /// The instant, a bare time of day being the last one at or before `end`.
    pub(in crate::cli) fn at_or_before(
        self,
        end: DateTime<FixedOffset>,
        today: NaiveDate,
    ) -> DateTime<FixedOffset> {
        let same_day = self.on(end.date_naive(), today);
        match self {
            Self::Clock(_) | Self::Bare(_) if same_day > end => {
                self.on(end.date_naive() - TimeDelta::days(1), today)
            }
            _ => same_day,
        }
    }

    /// The time of a load that lies before `end`: the evening before only where it is at most half a
    /// day back, so that times given in the wrong order are noticed.
    pub(in crate::cli) fn of_load_before(
        self,
        end: DateTime<FixedOffset>,
        today: NaiveDate,
    ) -> DateTime<FixedOffset> {
        let before = self.at_or_before(end, today);
        let is_near = end.signed_duration_since(before) <= TimeDelta::hours(MOST_HOURS);
        if is_near { before } else { self.on(end.date_naive(), today) }
    }

    /// The time of a load that lies after `start`, past midnight in the same way.
    pub(in crate::cli) fn of_load_after(
        self,
        start: DateTime<FixedOffset>,
        today: NaiveDate,
    ) -> DateTime<FixedOffset> {
        let same_day = self.on(start.date_naive(), today);
        let next_day = match self {
            Self::Clock(_) | Self::Bare(_) if same_day < start => {
                self.on(start.date_naive() + TimeDelta::days(1), today)
            }
            _ => same_day,
        };
        let is_near = next_day.signed_duration_since(start) <= TimeDelta::hours(MOST_HOURS);
        if is_near { next_day } else { same_day }
    }
}

fn naive(time: ClockTime) -> NaiveTime {
    let minutes = u32::from(time.minutes());
    NaiveTime::from_hms_opt(minutes / 60, minutes % 60, 0).expect("a clock time is within a day")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_is_asked_again_where_morning_and_afternoon_are_both_past() {
        let read = |text: &str, now: &str| {
            let now = local_instant(now.parse().unwrap());
            let moment = text.parse::<Moment>().unwrap();
            moment
                .once(moment.at_or_before(now, now.date_naive()), now)
                .map(|at| at.naive_local().to_string())
        };
        let morning = "2026-08-15T12:00:00";
        let afternoon = "2026-08-15T15:00:00";
        assert_eq!(read("9:15", morning).unwrap(), "2026-08-15 09:15:00");
        // 21:15 is still to come, and 14:30 is not.
        assert_eq!(read("9:15", afternoon).unwrap(), "2026-08-15 09:15:00");
        for unsure in ["2:30", "half past two"] {
            let failure = read(unsure, afternoon).unwrap_err();
            assert_eq!(failure.hint.as_deref(), Some("write 2:30am or 2:30pm"));
        }
        assert_eq!(read("02:30", afternoon).unwrap(), "2026-08-15 02:30:00");
        assert_eq!(read("2:30 pm", afternoon).unwrap(), "2026-08-15 14:30:00");
        // Yesterday's, then: of both halves.
        assert!(read("4:00", "2026-08-15T03:00:00").is_err());
    }

    #[test]
    fn a_bare_time_is_the_last_one_before_the_end() {
        let end = local_instant("2026-08-15T00:30:00".parse().unwrap());
        let at = |text: &str| {
            let moment = text.parse::<Moment>().unwrap();
            moment.at_or_before(end, end.date_naive()).naive_local().to_string()
        };
        assert_eq!(at("23:50"), "2026-08-14 23:50:00");
        assert_eq!(at("0:30"), "2026-08-15 00:30:00");
        assert_eq!(at("2026-08-13 09:00"), "2026-08-13 09:00:00");
        assert_eq!(at("2026-08-13T09:00:00"), "2026-08-13 09:00:00");
        assert_eq!(at("09:00"), at("09:00:00"));
        // 15 August 2026 is a Saturday.
        assert_eq!(at("yesterday 9:00pm"), "2026-08-14 21:00:00");
        assert_eq!(at("-2d 09:00"), "2026-08-13 09:00:00");
        assert_eq!(at("Tuesday 09:00"), "2026-08-11 09:00:00");
        assert_eq!(at("9pm yesterday"), "2026-08-14 21:00:00");
        assert_eq!(at("July 4, 2026 14:05"), "2026-07-04 14:05:00");
        for wrong in ["", "teatime", "14", "2026-08-14", "2026-02-30T10:00", "14:05:09", "soon 14:05"] {
            assert!(wrong.parse::<Moment>().is_err(), "{wrong}");
        }
        let said = "yesterday 9:15".parse::<Moment>().unwrap_err();
        assert!(said.contains("write 9:15am or 9:15pm"), "{said}");
        let said = "02/03/04 14:05".parse::<Moment>().unwrap_err();
        assert!(said.contains("2 March 2004") && said.contains("3 February 2004"), "{said}");
    }
}
