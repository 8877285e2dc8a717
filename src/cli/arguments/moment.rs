//! Moments as people type them: `14:05`, or a day and a time.

use std::str::FromStr;

use chrono::{
    DateTime, FixedOffset, Local, MappedLocalTime, NaiveDate, NaiveDateTime, NaiveTime, TimeDelta, TimeZone,
};

use crate::cli::arguments::local_instant::local_instant;
use crate::cli::errors::Failure;
use crate::rules::load::load_times::MOST_HOURS;
use crate::values::time::civil_day::{DayError, DayWord, parse_day};
use crate::values::time::clock_time::ClockTime;

/// A bare time of day this long ago, with no day given, is as likely a slip as the evening before.
pub(in crate::cli) const LATELY: TimeDelta = TimeDelta::hours(12);

/// A time of day, or a day and a time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::cli) enum Moment {
    /// On a day that follows from elsewhere.
    Clock(ClockTime),
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
        if let Ok(time) = minutes.parse() {
            return Ok(Self::Clock(time));
        }
        if let Ok(instant) = DateTime::parse_from_str(&text.replace(' ', "T"), "%Y-%m-%dT%H:%M%:z") {
            return Ok(Self::Instant(instant));
        }
        let refused = || {
            format!(
                "\u{201c}{given}\u{201d} is not a time; write 14:05, or with its day 2026-08-14T14:05 or yesterday 14:05"
            )
        };
        let (day, time) = minutes.split_once(' ').or_else(|| minutes.split_once('T')).ok_or_else(refused)?;
        let time: ClockTime = time.trim().parse().map_err(|_| refused())?;
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

impl Moment {
    /// The day it names itself.
    pub(in crate::cli) fn day(self, today: NaiveDate) -> Option<NaiveDate> {
        match self {
            Self::Clock(_) => None,
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
            Self::Clock(time) | Self::Word(_, time) => local_instant(day.and_time(naive(time))),
            Self::At(moment) => local_instant(moment),
            Self::Instant(instant) => instant,
        }
    }

    /// An instant that was settled for this moment, unless the clock on the wall shows the time twice or never that day.
    pub(in crate::cli) fn once(self, at: DateTime<FixedOffset>) -> Result<DateTime<FixedOffset>, Failure> {
        let said = match self {
            Self::Clock(time) | Self::Word(_, time) => naive(time),
            Self::At(moment) => moment.time(),
            Self::Instant(_) => return Ok(at),
        };
        let at_local = at.naive_local();
        let shown = |moment: NaiveDateTime| moment.format("%Y-%m-%d %H:%M");
        if at_local.time() != said {
            let skipped = at_local.date().and_time(said);
            return Err(Failure::usage(
                format!("the clocks here skip {}, going forward; nothing was saved", shown(skipped)),
                format!("give what the clock showed, such as {}", at_local.format("%H:%M")),
            ));
        }
        if let MappedLocalTime::Ambiguous(one, other) = Local.from_local_datetime(&at_local) {
            let written = |at: DateTime<Local>| at.format("%Y-%m-%dT%H:%M%:z");
            return Err(Failure::usage(
                format!("the clocks here show {} twice, going back; nothing was saved", shown(at_local)),
                format!("say which: {} was first, then {}", written(one.min(other)), written(one.max(other))),
            ));
        }
        Ok(at)
    }

    /// The instant, a bare time of day being the last one at or before `end`.
    pub(in crate::cli) fn at_or_before(
        self,
        end: DateTime<FixedOffset>,
        today: NaiveDate,
    ) -> DateTime<FixedOffset> {
        let same_day = self.on(end.date_naive(), today);
        match self {
            Self::Clock(_) if same_day > end => self.on(end.date_naive() - TimeDelta::days(1), today),
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
            Self::Clock(_) if same_day < start => self.on(start.date_naive() + TimeDelta::days(1), today),
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
        for wrong in ["", "teatime", "14", "2026-08-14", "2026-02-30T10:00", "14:05:09", "soon 14:05"] {
            assert!(wrong.parse::<Moment>().is_err(), "{wrong}");
        }
        let said = "02/03/04 14:05".parse::<Moment>().unwrap_err();
        assert!(said.contains("2 March 2004") && said.contains("3 February 2004"), "{said}");
    }
}
