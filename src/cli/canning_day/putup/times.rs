//! Where the clock times of a load lie: on which day each of them was, and whether they can all be true.

use chrono::{DateTime, FixedOffset, NaiveDate, TimeDelta};

use crate::answers::moments;
use crate::cli::arguments::moment::{LATELY, Moment};
use crate::cli::canning_day::putup::given::{LoadGiven, Times};
use crate::cli::canning_day::putup::unsettled::{Unsettled, missing, wrong};
use crate::cli::errors::Failure;
use crate::rules::load::load_times::{LoadTimes, at_one_offset};
use crate::values::time::clock::Clock;

/// How far a kitchen clock may be ahead of this machine's; a time further ahead was on another day.
const AHEAD: TimeDelta = TimeDelta::minutes(15);

/// Settles the times of a load put up on the day given by `--on`, or on one that follows from them.
pub(super) fn settle_times(
    load: &LoadGiven,
    on: Option<NaiveDate>,
    clock: Clock,
    remarks: &mut Vec<String>,
) -> Result<Times, Unsettled> {
    let times = placed(load, on, clock, remarks)?;
    let given =
        [(load.reached, times.reached_at), (load.ended, times.ended_at), (load.out, Some(times.out_at))];
    for (moment, at) in given {
        moment.zip(at).map(|(moment, at)| moment.once(at, clock.now)).transpose()?;
    }
    if times.out_at > clock.now + AHEAD {
        return Err(wrong(
            format!("{} is still to come; nothing was saved", moments::in_words(times.out_at, clock)),
            "if it was the day before, add --on yesterday",
        ));
    }
    if times.out_at > clock.now {
        remarks.push(format!("{} is later than now.", moments::in_words(times.out_at, clock)));
    }
    let out_at = times.out_at;
    // A time given with its offset from UTC is an instant, not a reading of the clock.
    let is_exact = [load.reached, load.ended].into_iter().flatten().any(Moment::is_exact);
    let face = |at: DateTime<FixedOffset>| if is_exact { at.with_timezone(out_at.offset()) } else { at };
    let (reached_at, ended_at) = at_one_offset(times.reached_at.map(face), times.ended_at.map(face), out_at);
    let given = LoadTimes { minutes: load.minutes, reached_at, ended_at, out_at, drops: &load.drops };
    given.check().map_err(|error| wrong(format!("{error}; nothing was saved"), LOOK_AGAIN))?;
    Ok(Times { reached_at, ended_at, out_at })
}

/// Whether the times given so far can all be true, whenever it was that the load came out.
pub(super) fn times_can_be(mut load: LoadGiven, on: Option<NaiveDate>, clock: Clock) -> Result<(), Failure> {
    load.out = load.out.or(load.ended);
    // Without either there is no span to hold the rest against, but for drops given in minutes.
    if load.out.is_none() {
        load.reached = None;
    }
    match settle_times(&load, on, clock, &mut Vec::new()) {
        Err(Unsettled::Wrong(failure)) => Err(failure),
        Err(Unsettled::Missing(_)) | Ok(_) => Ok(()),
    }
}

/// What to do about times that cannot be.
const LOOK_AGAIN: &str = "look at the times again; with its day one is written 2026-08-14T14:05, and what is \
                          not known is left out";

fn placed(
    load: &LoadGiven,
    on: Option<NaiveDate>,
    clock: Clock,
    remarks: &mut Vec<String>,
) -> Result<Times, Unsettled> {
    let today = clock.today();
    let began = load.reached.or(load.ended).or(load.out);
    if let Some(day) = on.or_else(|| began?.day(today)) {
        // The first time is on the day given, and each is the next such moment after the one before.
        let reached_at = load.reached.map(|reached| reached.on(day, today));
        let ended_at = load.ended.map(|ended| next(ended, reached_at, day, today));
        let before = ended_at.or(reached_at);
        let out_at = match load.out {
            Some(out) => next(out, before, day, today),
            None => out_at_not_given(load, day, before, clock, remarks)?,
        };
        if out_at <= clock.now + AHEAD {
            return Ok(Times { reached_at, ended_at, out_at });
        }
    }
    // The day given is that on which the load came out.
    let out_at = match load.out {
        None => clock.now,
        Some(out) => {
            let out_at = out.on(on.unwrap_or(today), today);
            let day_before = out.at_or_before(clock.now, today);
            let is_late = on.is_none() && clock.now.signed_duration_since(day_before) <= LATELY;
            if out_at > clock.now + AHEAD && is_late { day_before } else { out_at }
        }
    };
    let ended_at = load.ended.map(|ended| ended.of_load_before(out_at, today));
    let reached_at = load.reached.map(|reached| reached.of_load_before(ended_at.unwrap_or(out_at), today));
    Ok(Times { reached_at, ended_at, out_at })
}

/// The instant, a bare time of day being the next one from `before` on; without that, on `day`.
fn next(
    given: Moment,
    before: Option<DateTime<FixedOffset>>,
    day: NaiveDate,
    today: NaiveDate,
) -> DateTime<FixedOffset> {
    before.map_or_else(|| given.on(day, today), |before| given.of_load_after(before, today))
}

/// When a load came out of which nobody said so: now, or long ago the end of its run, or of its day.
fn out_at_not_given(
    load: &LoadGiven,
    day: NaiveDate,
    before: Option<DateTime<FixedOffset>>,
    clock: Clock,
    remarks: &mut Vec<String>,
) -> Result<DateTime<FixedOffset>, Unsettled> {
    let today = clock.today();
    match (today.signed_duration_since(day).num_days(), before) {
        (0, _) => Ok(clock.now),
        // What may still be done with a failed seal depends on which of the two hours it was.
        (1, _) => Err(missing("--out TIME")),
        (_, Some(before)) => {
            remarks.push("No time was given for taking it out: the end of its run is used.".to_owned());
            let left = if load.ended.is_some() { 0 } else { load.minutes.unwrap_or_default() };
            Ok(before + TimeDelta::minutes(left.into()))
        }
        (_, None) => {
            remarks.push("No time was given for taking it out: the end of that day is used.".to_owned());
            let end: Moment = "23:59".parse().expect("23:59 is a time of day");
            Ok(end.on(day, today))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::arguments::local_instant::local_instant;

    fn at(text: &str) -> DateTime<FixedOffset> {
        local_instant(format!("{text}:00").parse().unwrap())
    }

    /// The times of a load given at `now`, each as `13T23:50` of August 2026; or what is wrong.
    fn times(now: &str, on: &str, given: [&str; 3]) -> Result<[Option<String>; 3], String> {
        let [reached, ended, out] = given.map(|text| text.parse::<Moment>().ok());
        let load = LoadGiven { reached, ended, out, ..LoadGiven::default() };
        let clock = Clock { now: at(now) };
        let shown = |at: DateTime<FixedOffset>| at.format("%dT%H:%M").to_string();
        settle_times(&load, on.parse().ok(), clock, &mut Vec::new())
            .map(|times| [times.reached_at, times.ended_at, Some(times.out_at)].map(|at| at.map(shown)))
            .map_err(|unsettled| Failure::from(unsettled).message)
    }

    fn all(reached: &str, ended: &str, out: &str) -> Result<[Option<String>; 3], String> {
        Ok([reached, ended, out].map(|text| (!text.is_empty()).then(|| text.to_owned())))
    }

    // Which day each time was on, by hand; now is noon on 14 August 2026.
    #[test]
    fn a_run_past_midnight_begins_on_the_day_given() {
        let noon = "2026-08-14T12:00";
        for (on, given, settled) in [
            ("2026-08-13", ["23:50", "00:15", "01:00"], all("13T23:50", "14T00:15", "14T01:00")),
            ("2026-08-12", ["23:50", "00:15", "01:00"], all("12T23:50", "13T00:15", "13T01:00")),
            ("2026-08-13", ["", "23:50", "00:15"], all("", "13T23:50", "14T00:15")),
            ("2026-08-13", ["", "", "23:50"], all("", "", "13T23:50")),
            ("2026-08-13", ["10:00", "10:25", "10:40"], all("13T10:00", "13T10:25", "13T10:40")),
            // The day given is the one it came out on: the evening of the 14th is still to come.
            ("2026-08-14", ["23:50", "00:15", "01:00"], all("13T23:50", "14T00:15", "14T01:00")),
            ("2026-08-14", ["10:00", "10:25", ""], all("14T10:00", "14T10:25", "14T12:00")),
            ("", ["23:50", "00:15", "01:00"], all("13T23:50", "14T00:15", "14T01:00")),
            ("", ["10:00", "10:25", ""], all("14T10:00", "14T10:25", "14T12:00")),
            ("", ["2026-08-10T23:50", "00:15", "01:00"], all("10T23:50", "11T00:15", "11T01:00")),
            // Long ago, and nobody said when it came out: the end of its run, or of its day.
            ("2026-08-10", ["23:50", "00:15", ""], all("10T23:50", "11T00:15", "11T00:15")),
            ("2026-08-10", ["", "", ""], all("", "", "10T23:59")),
        ] {
            assert_eq!(times(noon, on, given), settled, "{on} {given:?}");
        }
    }

    #[test]
    fn a_time_still_to_come_was_the_evening_before_or_is_refused() {
        let refused = |now, on, out| times(now, on, ["", "", out]).unwrap_err();
        assert_eq!(times("2026-08-14T00:30", "", ["", "", "23:55"]), all("", "", "13T23:55"));
        assert_eq!(times("2026-08-14T12:00", "", ["", "", "12:15"]), all("", "", "14T12:15"));
        assert!(
            refused("2026-08-14T12:00", "", "12:16").contains("Friday 14 August, 12:16 is still to come")
        );
        assert!(refused("2026-08-14T12:00", "2026-08-14", "12:16").contains("still to come"));
        assert!(refused("2026-08-14T12:00", "", "2026-08-15T09:00").contains("still to come"));
    }

    #[test]
    fn times_that_cannot_be_are_refused() {
        for given in [
            ["10:30", "10:00", "11:00"],
            ["10:00", "10:30", "10:15"],
            ["10:00", "10:30", "09:00"],
            ["10:00", "10:00", "11:00"],
            ["2026-08-12T10:00", "", "2026-08-13T10:00"],
        ] {
            for on in ["", "2026-08-13"] {
                assert!(times("2026-08-14T12:00", on, given).is_err(), "{on} {given:?}");
            }
        }
    }
}
