//! When the household wants to begin or be done, and whether that can be.

use chrono::{DateTime, DurationRound, FixedOffset, NaiveTime, TimeDelta};

use crate::answers::moments;
use crate::answers::planning::day::{Begins, Length};
use crate::cli::arguments::local_instant::local_instant;
use crate::cli::errors::{Code, Failure};
use crate::cli::planning::plan::time_ahead::TimeAhead;
use crate::ledger::schema::wall_clock::on_the_wall;
use crate::values::measures::in_words::time;
use crate::values::time::clock::Clock;

/// When the evening's steps begin, unless they must begin earlier to be over in time.
const EVENING: NaiveTime = NaiveTime::from_hms_opt(20, 0, 0).expect("20:00 is a time");

/// What the household wants.
#[derive(Debug, Clone, Copy)]
pub(super) enum Wish {
    Now,
    Start(DateTime<FixedOffset>),
    DoneBy(DateTime<FixedOffset>),
}

impl Wish {
    pub(super) fn of(
        start: Option<TimeAhead>,
        done_by: Option<TimeAhead>,
        now: DateTime<FixedOffset>,
    ) -> Result<Self, Failure> {
        let wish = match (start, done_by) {
            (Some(start), _) => start.seen_from(now).map(Self::Start),
            (None, Some(end)) => end.seen_from(now).map(Self::DoneBy),
            (None, None) => Ok(Self::Now),
        };
        wish.map_err(|not_one| not_one.refused("nothing was planned"))
    }

    /// When to begin; refused, with the nearest time that can be, where that has passed.
    pub(super) fn settle(self, length: Length, clock: Clock) -> Result<Begins, Failure> {
        let minutes = TimeDelta::minutes(length.day.into());
        let soonest = next_five(clock.now);
        let day = match self {
            Self::Now if length.evening == 0 => soonest,
            // Tomorrow at this time: the evening before is still to come.
            Self::Now => soonest + TimeDelta::days(1),
            Self::Start(start) => start,
            Self::DoneBy(end) => end - minutes,
        };
        let begins = Begins { day, evening: evening_before(day, length.evening) };
        let first = if length.evening > 0 { begins.evening } else { begins.day };
        if first >= clock.now {
            return Ok(begins);
        }
        let in_words = |at| moments::in_words(at, clock);
        let (flag, wished) = match self {
            Self::DoneBy(end) => ("--done-by", end),
            Self::Start(_) | Self::Now => ("--start", day),
        };
        let nearest = if length.evening == 0 {
            soonest + (wished - day)
        } else {
            let whole_days = (clock.now - first).num_days() + 1;
            wished + TimeDelta::days(whole_days)
        };
        let evening = if length.evening > 0 { ", the evening before included," } else { "" };
        Err(Failure::new(
            Code::Refused,
            format!(
                "this takes {}; for {flag} {} it{evening} should have begun {}",
                time(length.day),
                in_words(wished),
                in_words(first)
            ),
            format!(
                "the nearest that can be: `{flag} \"{}\"`",
                on_the_wall(nearest).format("%Y-%m-%d %H:%M")
            ),
        ))
    }
}

/// The steps of the evening before begin at eight, or as early as it takes to be over when the day begins.
fn evening_before(day: DateTime<FixedOffset>, minutes: u32) -> DateTime<FixedOffset> {
    let date = day.date_naive().pred_opt().unwrap_or(day.date_naive());
    local_instant(date.and_time(EVENING)).min(day - TimeDelta::minutes(minutes.into()))
}

/// The next time a clock shows full five minutes.
fn next_five(now: DateTime<FixedOffset>) -> DateTime<FixedOffset> {
    now.duration_round_up(TimeDelta::minutes(5)).unwrap_or(now)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> DateTime<FixedOffset> {
        local_instant(text.parse().unwrap())
    }

    fn settle(wish: Wish, day: u32, evening: u32) -> Result<Begins, Failure> {
        wish.settle(Length { day, evening }, Clock { now: at("2026-08-15T14:02:00") })
    }

    #[test]
    fn a_day_ends_when_it_should_and_begins_no_earlier_than_now() {
        assert_eq!(
            settle(Wish::DoneBy(at("2026-08-15T18:00:00")), 200, 0).unwrap().day,
            at("2026-08-15T14:40:00")
        );
        assert_eq!(settle(Wish::Now, 200, 0).unwrap().day, at("2026-08-15T14:05:00"));
        // 18:00 less 4 h is past: begun at 14:05 it is done at 18:05.
        let late = settle(Wish::DoneBy(at("2026-08-15T18:00:00")), 240, 0).unwrap_err();
        assert_eq!(late.hint.unwrap(), "the nearest that can be: `--done-by \"2026-08-15 18:05\"`");
        assert!(settle(Wish::Start(at("2026-08-15T14:00:00")), 10, 0).is_err());
    }

    #[test]
    fn what_is_done_the_evening_before_still_has_its_evening() {
        let soaked = settle(Wish::DoneBy(at("2026-08-16T18:00:00")), 240, 720).unwrap();
        // Ten in the evening would be too late for twelve hours before 14:00; eight is not.
        assert_eq!(soaked.evening, at("2026-08-15T20:00:00"));
        let early = settle(Wish::Start(at("2026-08-16T07:00:00")), 240, 720).unwrap();
        assert_eq!(early.evening, at("2026-08-15T19:00:00"));
        // Yesterday evening is over: the same time tomorrow.
        let late = settle(Wish::DoneBy(at("2026-08-15T20:00:00")), 240, 720).unwrap_err();
        assert_eq!(late.hint.unwrap(), "the nearest that can be: `--done-by \"2026-08-16 20:00\"`");
    }
}
