//! Settles what was given into a batch to be logged, or says what is missing.

use chrono::NaiveDate;

use crate::answers::jars::sizes::in_words;
use crate::cli::arguments::day::hint;
use crate::cli::arguments::food_arg;
use crate::cli::canning_day::putup::canner_use;
use crate::cli::canning_day::putup::given::{Given, LoadGiven};
use crate::cli::canning_day::putup::settle_load::settle_load;
use crate::cli::canning_day::putup::times::settle_times;
use crate::cli::canning_day::putup::unsettled::{Unsettled, missing, wrong};
use crate::cli::errors::{Code, Failure};
use crate::ledger::batch::put_up::NewBatch;
use crate::ledger::entry::names_in_use::Named;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::canner::Canner;
use crate::rules::canning_day::loading;
use crate::rules::canning_day::loading::TooMuch;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Acidity;
use crate::values::names::near::near_names;
use crate::values::time::civil_day::parse_day;
use crate::values::time::clock::Clock;
use crate::values::time::on_screen;

/// Most jars in one batch.
const MOST_JARS: u32 = 9_999;

/// A batch ready to be logged, and what ought to be said about it.
#[derive(Debug)]
pub(super) struct Settled {
    pub(super) batch: NewBatch,
    pub(super) remarks: Vec<String>,
}

/// Settles everything, or fails naming the first thing that is missing or does not fit.
pub(super) fn settle(given: &Given, ledger: &Ledger, clock: Clock) -> Result<Settled, Unsettled> {
    let product = given.product.clone().ok_or_else(|| missing("--product NAME"))?;
    if given.food.is_none() {
        return Err(missing("--food FOOD"));
    }
    let known = food_arg::settle(given.food.as_deref(), given.acidity, ledger)?;
    if let (None, Some((what, way_out))) = (&known.food, food_arg::is_listed(product.as_str())) {
        return Err(Unsettled::Wrong(Failure::new(
            Code::Refused,
            format!("{what}; --food none is for food that no table knows; nothing was saved"),
            way_out,
        )));
    }
    if given.name_reason.is_none() {
        food_arg::refuse_name(&product, &known, "nothing was saved").map_err(Unsettled::Wrong)?;
    }
    if known.food.is_some() && given.pack.is_none() {
        return Err(missing("--pack hot|raw"));
    }
    let mut remarks = Vec::new();
    let loads = loads(given, ledger, &mut remarks)?;
    if known.acidity == Some(Acidity::Acidified) && loads.iter().any(|(load, _)| load.acid.is_none()) {
        return Err(Unsettled::Missing(Failure::usage(
            "this food counts as acidified only with its acid on record, and --acid is missing; nothing was saved",
            "add --acid lemon-juice, citric-acid or vinegar; or none, or unknown, if so it was",
        )));
    }
    let on = day_given(given, clock)?;
    let times = loads
        .iter()
        .map(|(load, _)| settle_times(load, on, clock, &mut remarks))
        .collect::<Result<Vec<_>, _>>()?;
    let day = on
        .or_else(|| times.iter().map(|times| times.out_at.date_naive()).min())
        .unwrap_or_else(|| clock.today());
    let kitchen = ledger.household()?.altitude;
    let mut batch = NewBatch {
        product,
        food: known.food,
        acidity: known.acidity,
        pack: given.pack,
        put_up: day,
        quality_months: given.quality_months,
        place: given.place.clone(),
        ingredient_lots: given.ingredients.clone(),
        note: given.note.clone().filter(|note| !note.trim().is_empty()),
        name_reason: given.name_reason.as_ref().map(ToString::to_string),
        recipe: given.recipe.clone(),
        loads: Vec::new(),
    };
    for ((load, canner), times) in loads.into_iter().zip(times) {
        batch.loads.push(settle_load(load, times, &canner, day, kitchen, clock)?);
    }
    canner_use::remark(&batch.loads, ledger, &mut remarks)?;
    remark_new_names(&batch, ledger, &mut remarks)?;
    remarks.dedup();
    Ok(Settled { batch, remarks })
}

/// Remarks on a product, a place or a lid lot that is new but for a letter or two.
fn remark_new_names(batch: &NewBatch, ledger: &Ledger, remarks: &mut Vec<String>) -> Result<(), Unsettled> {
    let lots = batch.loads.iter().filter_map(|load| Some(("lid lot", load.lid_lot.as_ref()?, Named::LidLot)));
    let place = batch.place.as_ref().map(|place| ("place", place, Named::Place));
    let names = std::iter::once(("product", &batch.product, Named::Product)).chain(place).chain(lots);
    for (what, name, named) in names {
        let known = ledger.names_in_use(named)?;
        if known.iter().any(|other| other.to_lowercase() == name.key()) {
            continue;
        }
        let near = near_names(name.as_str(), known.iter().map(String::as_str));
        if let [near, ..] = near[..] {
            remarks.push(format!("{name} is a new {what}, and much like {near}: is it the same?"));
        }
    }
    Ok(())
}

/// Every load with its canner and jars.
fn loads(
    given: &Given,
    ledger: &Ledger,
    remarks: &mut Vec<String>,
) -> Result<Vec<(LoadGiven, Canner)>, Unsettled> {
    let mut loads = Vec::new();
    if given.loads.is_empty() {
        if given.jars.is_empty() {
            return Err(missing("--jars SIZE:JARS"));
        }
        let canner = canner(&given.every_load, ledger)?;
        let split = loading::split(&given.jars, &canner.holds).map_err(|error| {
            wrong(
                format!("{}: {error}; nothing was saved", canner.name),
                "give the loads yourself: --load jars=quart:7 for each",
            )
        })?;
        for jars in split {
            loads.push((LoadGiven { jars: vec![jars], ..given.every_load.clone() }, canner.clone()));
        }
    }
    for (load, number) in given.loads.iter().zip(1..) {
        let mut load = load.or(&given.every_load);
        if load.jars.is_empty() && given.loads.len() == 1 {
            load.jars.clone_from(&given.jars);
        }
        if load.jars.is_empty() {
            return Err(wrong(
                format!("load {number} has no jars; nothing was saved"),
                "add jars=pint:7 to it",
            ));
        }
        let canner = canner(&load, ledger)?;
        match canner.room().too_much(&load.jars) {
            Some(TooMuch::OfSize(size, count)) => remarks.push(format!(
                "{} in load {number} is more than {} holds on record.",
                size.counted(count),
                canner.name
            )),
            Some(TooMuch::Together) => remarks.push(format!(
                "{} in load {number} may be more than {} takes: no such filling is on record.",
                in_words(&load.jars),
                canner.name
            )),
            None => {}
        }
        loads.push((load, canner));
    }
    check_counts(given, &loads)?;
    Ok(loads)
}

/// The jars of the loads are those of the batch, and not beyond all counting.
fn check_counts(given: &Given, loads: &[(LoadGiven, Canner)]) -> Result<(), Unsettled> {
    let sum = |jars: &mut dyn Iterator<Item = (JarSize, u32)>| {
        let mut by_size = std::collections::BTreeMap::<JarSize, u32>::new();
        for (size, count) in jars {
            let sum = by_size.entry(size).or_default();
            *sum = sum.saturating_add(count);
        }
        by_size
    };
    let in_loads = sum(&mut loads.iter().flat_map(|(load, _)| load.jars.iter().copied()));
    let whole = sum(&mut given.jars.iter().copied());
    if !whole.is_empty() && whole != in_loads {
        let words = |jars: std::collections::BTreeMap<_, _>| in_words(&jars.into_iter().collect::<Vec<_>>());
        return Err(wrong(
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
        return Err(wrong(
            format!("a batch has at most {MOST_JARS} jars, and this one has {total}; nothing was saved"),
            "log it as two batches",
        ));
    }
    Ok(())
}

fn canner(load: &LoadGiven, ledger: &Ledger) -> Result<Canner, Unsettled> {
    let name = load.canner.as_ref().ok_or_else(|| missing("--canner NAME"))?;
    Ok(ledger.canner(name)?)
}

/// The day of the batch by `--on`; none where it follows from when its loads came out.
pub(super) fn day_given(given: &Given, clock: Clock) -> Result<Option<NaiveDate>, Unsettled> {
    let Some(words) = &given.on else { return Ok(None) };
    let today = clock.today();
    let day = parse_day(words, today)
        .map_err(|error| wrong(format!("--on: {error}; nothing was saved"), &hint("--on", &error, today)))?;
    if day > today {
        return Err(wrong(
            format!("{} is still to come; nothing was saved", on_screen::day_in_words(day)),
            "log a batch once it is out of the canner",
        ));
    }
    Ok(Some(day))
}
