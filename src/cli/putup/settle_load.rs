//! Settles one load: where its times lie, and what was not recorded.

use chrono::{DateTime, FixedOffset, NaiveDate, TimeDelta};

use super::super::moment::{self, Moment};
use super::told::LoadTold;
use super::unsettled::{Unsettled, missing, wrong};
use crate::ledger::{Canner, NewLoad};
use crate::rules::altitude::Altitude;
use crate::rules::clock::Clock;
use crate::rules::method::Method;

/// A time this far ahead of the clock is taken for yesterday's and refused.
const AHEAD_HOURS: i64 = 12;

pub(super) fn settle_load(
    load: LoadTold,
    canner: &Canner,
    day: NaiveDate,
    kitchen: Altitude,
    clock: Clock,
    remarks: &mut Vec<String>,
) -> Result<NewLoad, Unsettled> {
    if canner.method == Method::BoilingWater && load.pressure.is_some() {
        return Err(wrong(
            format!("{} is a boiling-water canner and has no pressure; nothing was saved", canner.name),
            "leave --pressure out, or name another canner",
        ));
    }
    let today = clock.today();
    let out_at = out_at(load.out, day, clock, remarks)?;
    let before =
        |moment: Option<Moment>, what: &str| match moment.map(|moment| moment.at_or_before(out_at, today)) {
            Some(at) if at > out_at => Err(wrong(
                format!("{what} is after the load came out; nothing was saved"),
                "look at the times again",
            )),
            at => Ok(at),
        };
    let ended_at = before(load.ended, "--ended")?;
    let reached_at = match (load.reached, ended_at) {
        (Some(reached), Some(ended)) => Some(reached.at_or_before(ended, today)),
        (reached, _) => before(reached, "--reached")?,
    };
    if reached_at > ended_at && ended_at.is_some() {
        return Err(wrong("--reached is after --ended; nothing was saved", "look at the times again"));
    }
    Ok(NewLoad {
        canner: load.canner,
        altitude: Some(load.altitude.unwrap_or(kitchen)),
        pressure: load.pressure.map(|told| (told.0, told.1)),
        minutes: load.minutes,
        vent_min: load.vent,
        come_up_min: load.come_up,
        acid: load.acid.and_then(|told| told.0),
        reached_at,
        ended_at,
        drops: load.drops,
        out_at,
        went_wrong: load.went_wrong.filter(|told| !told.trim().is_empty()),
        lid_lot: load.lid_lot,
        jars: load.jars,
    })
}

/// When the load came out: as told, else now; long ago, the end of its day.
fn out_at(
    told: Option<Moment>,
    day: NaiveDate,
    clock: Clock,
    remarks: &mut Vec<String>,
) -> Result<DateTime<FixedOffset>, Unsettled> {
    let Some(told) = told else {
        return match clock.today().signed_duration_since(day).num_days() {
            0 => Ok(clock.now),
            // Which hour it was decides what may still be done with a failed seal.
            1 => Err(missing("--out TIME")),
            _ => {
                remarks.push("When it came out was not told: the end of that day is taken.".to_owned());
                let end: Moment = "23:59".parse().expect("23:59 is a time of day");
                Ok(end.on(day, clock.today()))
            }
        };
    };
    let out_at = told.on(day, clock.today());
    let ahead = out_at.signed_duration_since(clock.now);
    if ahead > TimeDelta::hours(AHEAD_HOURS) || out_at.date_naive() > clock.today() {
        return Err(wrong(
            format!("{} is still to come; nothing was saved", moment::in_words(out_at)),
            "if it was the day before, add --on yesterday",
        ));
    }
    if ahead > TimeDelta::zero() {
        remarks.push(format!("{} is later than now.", moment::in_words(out_at)));
    }
    Ok(out_at)
}
