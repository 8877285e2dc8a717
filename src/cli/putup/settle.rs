//! Settles what was told into a batch to be logged, or says what is missing.

use chrono::{DateTime, FixedOffset, NaiveDate, TimeDelta};

use super::super::ask;
use super::super::errors::Failure;
use super::super::food_arg;
use super::super::jar_counts::{counted, in_words};
use super::super::moment::{self, Moment};
use super::told::{LoadTold, Told};
use crate::ledger::{Canner, Ledger, NewBatch, NewLoad};
use crate::rules::altitude::Altitude;
use crate::rules::civil_day::parse_day;
use crate::rules::clock::Clock;
use crate::rules::jar_size::JarSize;
use crate::rules::loading;
use crate::rules::method::{Acidity, Method};

/// Most jars in one batch.
const MOST_JARS: u32 = 9_999;

/// A time this far ahead of the clock is taken for yesterday's and refused.
const AHEAD_HOURS: i64 = 12;

/// A batch ready to be logged, and what ought to be said about it.
#[derive(Debug)]
pub(super) struct Settled {
    pub(super) batch: NewBatch,
    pub(super) remarks: Vec<String>,
}

/// Settles everything, or fails naming the first thing that is missing or does not fit.
pub(super) fn settle(told: &Told, ledger: &Ledger, clock: Clock) -> Result<Settled, Failure> {
    let product = told.product.clone().ok_or_else(|| ask::missing("--product NAME"))?;
    let known = food_arg::settle(told.food.as_deref(), told.acidity, ledger)?;
    if known.food.is_some() && told.pack.is_none() {
        return Err(ask::missing("--pack hot|raw"));
    }
    let mut remarks = Vec::new();
    let loads = loads(told, ledger, &mut remarks)?;
    if known.acidity == Some(Acidity::Acidified) && loads.iter().any(|(load, _)| load.acid.is_none()) {
        return Err(Failure::usage(
            "this food counts as acidified only with its acid on record, and --acid is missing; nothing was saved",
            "add --acid lemon-juice, citric-acid or vinegar; or none, or unknown, if so it was",
        ));
    }
    let day = put_up_day(told, &loads, clock)?;
    let kitchen = ledger.household()?.altitude;
    let mut batch = NewBatch {
        product,
        food: known.food,
        acidity: known.acidity,
        pack: told.pack,
        put_up: day,
        quality_months: told.quality_months,
        place: told.place.clone(),
        ingredient_lots: told.ingredients.clone(),
        note: told.note.clone(),
        loads: Vec::new(),
    };
    for (load, canner) in loads {
        batch.loads.push(settle_load(load, &canner, day, kitchen, clock, &mut remarks)?);
    }
    if shares_a_canner_and_a_time(&batch.loads) {
        remarks.push(
            "Loads of one canner came out at one time here; `--load out=…` tells their times apart."
                .to_owned(),
        );
    }
    remarks.dedup();
    Ok(Settled { batch, remarks })
}

/// Every load with its canner and jars.
fn loads(
    told: &Told,
    ledger: &Ledger,
    remarks: &mut Vec<String>,
) -> Result<Vec<(LoadTold, Canner)>, Failure> {
    let mut loads = Vec::new();
    if told.loads.is_empty() {
        if told.jars.is_empty() {
            return Err(ask::missing("--jars SIZE:JARS"));
        }
        let canner = canner(&told.every_load, ledger)?;
        let split = loading::split(&told.jars, &canner.holds).map_err(|error| {
            Failure::usage(
                format!("{}: {error}; nothing was saved", canner.name),
                "tell the loads yourself: --load jars=quart:7 for each",
            )
        })?;
        for jars in split {
            loads.push((LoadTold { jars: vec![jars], ..told.every_load.clone() }, canner.clone()));
        }
    }
    for (load, number) in told.loads.iter().zip(1..) {
        let mut load = load.or(&told.every_load);
        if load.jars.is_empty() && told.loads.len() == 1 {
            load.jars.clone_from(&told.jars);
        }
        if load.jars.is_empty() {
            return Err(Failure::usage(
                format!("load {number} has no jars; nothing was saved"),
                "add jars=pint:7 to it",
            ));
        }
        let canner = canner(&load, ledger)?;
        for &(size, count) in &load.jars {
            if canner.holds.get(&size).is_some_and(|&room| count > room) {
                remarks.push(format!(
                    "{} in load {number} is more than {} takes on record.",
                    counted(size, count),
                    canner.name
                ));
            }
        }
        loads.push((load, canner));
    }
    check_counts(told, &loads)?;
    Ok(loads)
}

/// The jars of the loads are those of the batch, and not beyond all counting.
fn check_counts(told: &Told, loads: &[(LoadTold, Canner)]) -> Result<(), Failure> {
    let sum = |jars: &mut dyn Iterator<Item = (JarSize, u32)>| {
        let mut by_size = std::collections::BTreeMap::<JarSize, u32>::new();
        for (size, count) in jars {
            let sum = by_size.entry(size).or_default();
            *sum = sum.saturating_add(count);
        }
        by_size
    };
    let in_loads = sum(&mut loads.iter().flat_map(|(load, _)| load.jars.iter().copied()));
    let whole = sum(&mut told.jars.iter().copied());
    if !whole.is_empty() && whole != in_loads {
        let words = |jars: std::collections::BTreeMap<_, _>| in_words(&jars.into_iter().collect::<Vec<_>>());
        return Err(Failure::usage(
            format!(
                "--jars says {}, and the loads hold {}; nothing was saved",
                words(whole),
                words(in_loads)
            ),
            "leave --jars out, or make the loads add up to it",
        ));
    }
    let total = in_loads.values().fold(0_u32, |sum, &count| sum.saturating_add(count));
    if total > MOST_JARS {
        return Err(Failure::usage(
            format!("a batch has at most {MOST_JARS} jars, and this one has {total}; nothing was saved"),
            "log it as two batches",
        ));
    }
    Ok(())
}

fn canner(load: &LoadTold, ledger: &Ledger) -> Result<Canner, Failure> {
    let name = load.canner.as_ref().ok_or_else(|| ask::missing("--canner NAME"))?;
    Ok(ledger.canner(name)?)
}

/// The day of the batch: as told, else that of its first load, else today.
fn put_up_day(told: &Told, loads: &[(LoadTold, Canner)], clock: Clock) -> Result<NaiveDate, Failure> {
    let today = clock.today();
    let day = match &told.on {
        Some(words) => parse_day(words, today).map_err(|error| {
            Failure::usage(format!("--on: {error}; nothing was saved"), "write --on 2026-08-14")
        })?,
        None => loads
            .iter()
            .find_map(|(load, _)| match load.out {
                Some(Moment::At(moment)) => Some(moment.date()),
                _ => None,
            })
            .unwrap_or(today),
    };
    if day > today {
        return Err(Failure::usage(
            format!("{} is still to come; nothing was saved", moment::day_in_words(day)),
            "log a batch once it is out of the canner",
        ));
    }
    Ok(day)
}

fn settle_load(
    load: LoadTold,
    canner: &Canner,
    day: NaiveDate,
    kitchen: Altitude,
    clock: Clock,
    remarks: &mut Vec<String>,
) -> Result<NewLoad, Failure> {
    if canner.method == Method::BoilingWater && load.pressure.is_some() {
        return Err(Failure::usage(
            format!("{} is a boiling-water canner and has no pressure; nothing was saved", canner.name),
            "leave --pressure out, or name another canner",
        ));
    }
    let out_at = out_at(load.out, day, clock, remarks)?;
    let before = |moment: Option<Moment>, what: &str| match moment.map(|moment| moment.at_or_before(out_at)) {
        Some(at) if at > out_at => Err(Failure::usage(
            format!("{what} is after the load came out; nothing was saved"),
            "look at the times again",
        )),
        at => Ok(at),
    };
    let ended_at = before(load.ended, "--ended")?;
    let reached_at = match (load.reached, ended_at) {
        (Some(reached), Some(ended)) => Some(reached.at_or_before(ended)),
        (reached, _) => before(reached, "--reached")?,
    };
    if reached_at > ended_at && ended_at.is_some() {
        return Err(Failure::usage(
            "--reached is after --ended; nothing was saved",
            "look at the times again",
        ));
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
        went_wrong: load.went_wrong,
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
) -> Result<DateTime<FixedOffset>, Failure> {
    let Some(told) = told else {
        return match clock.today().signed_duration_since(day).num_days() {
            0 => Ok(clock.now),
            // Which hour it was decides what may still be done with a failed seal.
            1 => Err(ask::missing("--out TIME")),
            _ => {
                remarks.push("When it came out was not told: the end of that day is taken.".to_owned());
                let end: Moment = "23:59".parse().expect("23:59 is a time of day");
                Ok(end.on(day))
            }
        };
    };
    let out_at = told.on(day);
    let ahead = out_at.signed_duration_since(clock.now);
    if ahead > TimeDelta::hours(AHEAD_HOURS) || out_at.date_naive() > clock.today() {
        return Err(Failure::usage(
            format!("{} is still to come; nothing was saved", moment::in_words(out_at)),
            "if it was the day before, add --on yesterday",
        ));
    }
    if ahead > TimeDelta::zero() {
        remarks.push(format!("{} is later than now.", moment::in_words(out_at)));
    }
    Ok(out_at)
}

fn shares_a_canner_and_a_time(loads: &[NewLoad]) -> bool {
    loads.iter().enumerate().any(|(at, load)| {
        loads[..at].iter().any(|other| {
            let one = |load: &NewLoad| load.canner.as_ref().map(crate::rules::name::Name::key);
            one(other) == one(load) && other.out_at == load.out_at
        })
    })
}
