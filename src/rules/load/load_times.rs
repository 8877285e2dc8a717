//! Whether the times given for one load can all be true.
//!
//! A clock time without its day may lie past midnight, so two times swapped look
//! like a day but for a little. No run, and no wait for the jars to come out,
//! takes more than half a day (common practice, no source): what would is taken
//! for a slip and refused, never judged.

use std::fmt;

use chrono::{DateTime, Days, FixedOffset, NaiveDate, TimeDelta, Timelike};

use crate::rules::load::run_time::{Drop, RunTime};
use crate::values::measures::in_words::short_time;
use crate::values::time::clock_time::ClockTime;

/// Most hours between two times of one load that follow each other.
pub(crate) const MOST_HOURS: i64 = 12;

/// The times of one load, as they were entered or are on record.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LoadTimes<'a> {
    /// Minutes at pressure or at a full boil, as the person counted them.
    pub minutes: Option<u32>,
    /// When the target was first reached.
    pub reached_at: Option<DateTime<FixedOffset>>,
    /// When the heat went off.
    pub ended_at: Option<DateTime<FixedOffset>>,
    /// When the jars came out.
    pub out_at: DateTime<FixedOffset>,
    /// Every drop below the target.
    pub drops: &'a [Drop],
}

/// Says why the times of a load cannot all be true; times as a clock shows them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub(crate) enum ImpossibleTimes {
    /// One time is not after the one it follows.
    #[error("{second} is not after {first}")]
    NotAfter {
        /// The time that comes first.
        first: NamedTime,
        /// The time that should come later.
        second: NamedTime,
    },
    /// One time lies too long after the one it follows.
    #[error("{second} would be {} after {first}; the times of one load lie within {MOST_HOURS} hours", short_time(*.minutes))]
    TooFarApart {
        /// The time that comes first.
        first: NamedTime,
        /// The time that would come so long after.
        second: NamedTime,
        /// How long after, in minutes.
        minutes: u32,
    },
    /// More minutes were counted than there were.
    #[error("{minutes} min is more than the {between} min from {first} to {second}")]
    TooManyMinutes {
        /// The minutes counted.
        minutes: u32,
        /// The minutes there were.
        between: i64,
        /// When they began.
        first: NamedTime,
        /// When they were over.
        second: NamedTime,
    },
    /// A drop lies outside the run.
    #[error("the drop {drop} lies outside the run of {run} min{}", from_when(*.from))]
    DropOutside {
        drop: Drop,
        /// How long the run was, in minutes.
        run: u32,
        /// When it began, where that is known.
        from: Option<ClockTime>,
    },
}

/// A time of a load under the name its flag has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct NamedTime {
    name: &'static str,
    at: DateTime<FixedOffset>,
}

impl fmt::Display for NamedTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.name, self.at.format("%H:%M"))
    }
}

fn from_when(from: Option<ClockTime>) -> String {
    from.map(|from| format!(" from {from}")).unwrap_or_default()
}

impl LoadTimes<'_> {
    /// Says what cannot be true, if anything.
    ///
    /// # Errors
    /// [`ImpossibleTimes`], the first that is found.
    pub fn check(&self) -> Result<(), ImpossibleTimes> {
        let named = |name, at: Option<DateTime<FixedOffset>>| at.map(|at| NamedTime { name, at });
        let reached = named("reached", self.reached_at);
        let ended = named("ended", self.ended_at);
        let out = NamedTime { name: "out", at: self.out_at };
        if let Some((reached, ended)) = reached.zip(ended) {
            follows(reached, ended, TimeDelta::minutes(1))?;
        }
        if let Some(before) = ended.or(reached) {
            follows(before, out, TimeDelta::zero())?;
        }
        if let Some((minutes, first)) = self.minutes.zip(reached) {
            let second = ended.unwrap_or(out);
            let between = second.at.signed_duration_since(first.at).num_minutes();
            if i64::from(minutes) > between {
                return Err(ImpossibleTimes::TooManyMinutes { minutes, between, first, second });
            }
        }
        let run = self.run();
        match (run.drop_outside(), run.whole()) {
            (Some(drop), Some(minutes)) => {
                Err(ImpossibleTimes::DropOutside { drop, run: minutes, from: run.began() })
            }
            _ => Ok(()),
        }
    }

    /// The same as the judge reads it.
    pub fn run(&self) -> RunTime {
        RunTime {
            minutes: self.minutes,
            reached_at: self.reached_at.map(clock_time),
            ended_at: self.ended_at.map(clock_time),
            drops: self.drops.to_vec(),
        }
    }
}

fn follows(first: NamedTime, second: NamedTime, least: TimeDelta) -> Result<(), ImpossibleTimes> {
    let apart = second.at.signed_duration_since(first.at);
    if apart < least {
        return Err(ImpossibleTimes::NotAfter { first, second });
    }
    if apart > TimeDelta::hours(MOST_HOURS) {
        let minutes = u32::try_from(apart.num_minutes()).unwrap_or(u32::MAX);
        return Err(ImpossibleTimes::TooFarApart { first, second, minutes });
    }
    Ok(())
}

/// When a load reached its target and was done, at the one offset its times are kept with: that of its coming out.
///
/// The clocks may change within a load, and a kitchen clock may or may not follow them. What was read off the clock is
/// kept where it makes the run no longer than the instants do, so that the times read as they were entered; else
/// the instants are kept. So a run is never longer than by either reading.
pub(crate) fn at_one_offset(
    reached_at: Option<DateTime<FixedOffset>>,
    ended_at: Option<DateTime<FixedOffset>>,
    out_at: DateTime<FixedOffset>,
) -> (Option<DateTime<FixedOffset>>, Option<DateTime<FixedOffset>>) {
    let offset = *out_at.offset();
    let by_face = [reached_at, ended_at]
        .map(|at| at.and_then(|at| at.naive_local().and_local_timezone(offset).single()));
    let by_instant = [reached_at, ended_at].map(|at| at.map(|at| at.with_timezone(&offset)));
    let run = |[reached, ended]: [Option<DateTime<FixedOffset>>; 2]| {
        reached.zip(ended).map(|(reached, ended)| ended.signed_duration_since(reached))
    };
    let is_before_out = by_face.iter().flatten().all(|&at| at <= out_at);
    let [reached_at, ended_at] =
        if is_before_out && run(by_face) <= run(by_instant) { by_face } else { by_instant };
    (reached_at, ended_at)
}

/// The clock's face at an instant.
pub fn clock_time(at: DateTime<FixedOffset>) -> ClockTime {
    let minutes = (at.hour() * 60 + at.minute()) as u16;
    ClockTime::from_minutes(minutes).expect("a day has 1,440 minutes")
}

/// Whether a load of a batch put up on `put_up` can have come out on `day`: that day, or the one after.
pub(crate) fn out_fits(put_up: NaiveDate, day: NaiveDate) -> bool {
    day == put_up || Some(day) == put_up.checked_add_days(Days::new(1))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> DateTime<FixedOffset> {
        DateTime::parse_from_rfc3339(&format!("2026-08-{text}:00-05:00")).unwrap()
    }

    /// The fault found in times written as `14T10:00`; empty where there is none.
    fn fault(minutes: u32, reached: &str, ended: &str, out: &str, drops: &str) -> Option<String> {
        let given = |text: &str| (!text.is_empty()).then(|| at(text));
        let drops: Vec<Drop> = drops.split_whitespace().map(|drop| drop.parse().unwrap()).collect();
        let times = LoadTimes {
            minutes: (minutes > 0).then_some(minutes),
            reached_at: given(reached),
            ended_at: given(ended),
            out_at: at(out),
            drops: &drops,
        };
        times.check().err().map(|fault| fault.to_string())
    }

    // Gaps and sums by hand.
    #[test]
    fn times_that_can_be_are_taken() {
        for (minutes, reached, ended, out, drops) in [
            (0, "", "", "14T10:15", ""),
            (20, "14T10:00", "14T10:20", "14T10:20", ""),
            (20, "14T10:00", "", "14T10:20", ""),
            (25, "14T23:50", "15T00:15", "15T01:00", "23:55-00:02"),
            (0, "14T10:00", "14T22:00", "15T10:00", ""), // 12 h and 12 h, and no minute more
            (20, "14T10:00", "14T10:50", "14T11:00", "10:10-10:20"), // counted anew after the drop
            (25, "14T10:00", "14T10:25", "14T11:00", "10:25-10:30"), // lost as the time was over
            (20, "", "", "14T11:00", "12:00-12:05"),     // nothing says when the run was
            (20, "", "", "14T11:00", "20m-25m"),
        ] {
            assert_eq!(
                fault(minutes, reached, ended, out, drops),
                None,
                "{minutes} {reached} {ended} {out} {drops}"
            );
        }
    }

    #[test]
    fn each_kind_of_impossible_times_is_named() {
        for ((minutes, reached, ended, out, drops), fault_found) in [
            ((0, "14T10:30", "14T10:00", "14T11:00", ""), "ended 10:00 is not after reached 10:30"),
            ((0, "14T10:30", "14T10:30", "14T11:00", ""), "ended 10:30 is not after reached 10:30"),
            (
                (0, "13T10:30", "14T10:00", "14T11:00", ""),
                "ended 10:00 would be 23 h 30 min after reached 10:30; the times of one load lie within 12 hours",
            ),
            (
                (0, "13T10:00", "13T10:30", "14T10:15", ""),
                "out 10:15 would be 23 h 45 min after ended 10:30; the times of one load lie within 12 hours",
            ),
            (
                (0, "14T10:00", "14T22:01", "14T23:00", ""),
                "ended 22:01 would be 12 h 1 min after reached 10:00; the times of one load lie within 12 hours",
            ),
            ((0, "", "14T10:30", "14T10:15", ""), "out 10:15 is not after ended 10:30"),
            (
                (20, "14T10:00", "", "14T10:15", ""),
                "20 min is more than the 15 min from reached 10:00 to out 10:15",
            ),
            (
                (30, "14T10:00", "14T10:25", "14T11:00", ""),
                "30 min is more than the 25 min from reached 10:00 to ended 10:25",
            ),
            (
                (0, "14T10:00", "14T10:25", "14T13:00", "12:00-12:05"),
                "the drop 12:00-12:05 lies outside the run of 25 min from 10:00",
            ),
            (
                (0, "14T10:00", "14T10:25", "14T11:00", "09:50-09:55"),
                "the drop 09:50-09:55 lies outside the run of 25 min from 10:00",
            ),
            ((20, "", "", "14T11:00", "50m-55m"), "the drop 50m-55m lies outside the run of 20 min"),
        ] {
            assert_eq!(fault(minutes, reached, ended, out, drops).as_deref(), Some(fault_found));
        }
    }

    // The clocks of the eastern United States: -04:00 in summer, -05:00 in winter; back at 02:00 on 1 November 2026,
    // forward at 02:00 on 8 March 2026. Runs by hand, by the faces and by the instants: the smaller is kept.
    #[test]
    fn a_run_over_a_change_of_the_clocks_is_never_longer_than_by_either_reading() {
        for (reached, ended, out, kept) in [
            // Back within the run: 95 and 155 min, then 35 and 35 min, then 20 and 80 min.
            ("11-01T00:50-04", "11-01T02:25-05", "11-01T02:40-05", ["00:50", "02:25"]),
            ("11-01T00:50-04", "11-01T01:25-04", "11-01T02:40-05", ["00:50", "01:25"]),
            ("11-01T01:50-04", "11-01T02:10-05", "11-01T02:10-05", ["01:50", "02:10"]),
            // Taken out by the second 01:05, before the times given: 10 min either way, an hour earlier.
            ("11-01T01:40-04", "11-01T01:50-04", "11-01T01:05-05", ["00:40", "00:50"]),
            // Forward within the run: 95 and 35 min; after it: 35 and 35 min.
            ("03-08T01:50-05", "03-08T03:25-04", "03-08T03:40-04", ["02:50", "03:25"]),
            ("03-08T01:00-05", "03-08T01:35-05", "03-08T03:10-04", ["01:00", "01:35"]),
            // A run backwards stays one.
            ("11-01T01:50-04", "11-01T01:10-05", "11-01T02:40-05", ["01:50", "01:10"]),
        ] {
            let at = |text: &str| {
                let (time, offset) = text.rsplit_once('-').unwrap();
                DateTime::parse_from_rfc3339(&format!("2026-{time}:00-{offset}:00")).unwrap()
            };
            let (from, to) = at_one_offset(Some(at(reached)), Some(at(ended)), at(out));
            let faces = [from.unwrap(), to.unwrap()].map(|at| at.format("%H:%M").to_string());
            assert_eq!(faces, kept, "{reached} {ended} {out}");
            assert!([from, to].iter().flatten().all(|each| each.offset() == at(out).offset()));
        }
    }

    #[test]
    fn a_load_comes_out_on_the_day_or_the_one_after() {
        let day = |text: &str| text.parse::<NaiveDate>().unwrap();
        let put_up = day("2026-12-31");
        assert!(out_fits(put_up, put_up) && out_fits(put_up, day("2027-01-01")));
        assert!(!out_fits(put_up, day("2026-12-30")) && !out_fits(put_up, day("2027-01-02")));
        assert!(out_fits(NaiveDate::MAX, NaiveDate::MAX));
    }
}
