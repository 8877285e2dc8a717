//! The last look at a batch before it is saved.

use crate::answers::jars::sizes::in_words;
use crate::answers::moments;
use crate::cli::canning_day::putup::settle::Settled;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::{Asker, Question, Reply, interrupted};
use crate::cli::talk::stderr::complain;
use crate::ledger::batch::put_up::{NewBatch, NewLoad};
use crate::ledger::file::open::Ledger;
use crate::values::time::clock::Clock;

/// What the person says to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Decision {
    Save,
    Back,
}

/// Shows what would be saved, and asks.
pub(super) fn decide(
    settled: &Settled,
    ledger: &Ledger,
    clock: Clock,
    asker: &Asker,
) -> Result<Decision, Failure> {
    for line in lines(&settled.batch, ledger, clock)? {
        complain(&line);
    }
    for remark in &settled.remarks {
        complain(&format!("Note: {remark}"));
    }
    const SAVE: &str = "Save it";
    const CHANGE: &str = "Change an answer";
    const LEAVE: &str = "Leave it, and save nothing";
    let question = Question { ask: "Save this batch?", flag: "--product NAME", help: "", default: None };
    match asker.choose(question, vec![SAVE, CHANGE, LEAVE], 0)? {
        Reply::Given(SAVE) => Ok(Decision::Save),
        Reply::Given(LEAVE) => Err(interrupted()),
        Reply::Given(_) | Reply::Back => Ok(Decision::Back),
    }
}

/// The batch as it would be saved; none of it is on record yet.
fn lines(batch: &NewBatch, ledger: &Ledger, clock: Clock) -> Result<Vec<String>, Failure> {
    let food = batch.food.as_ref().map_or("no food of the tables", |food| food.as_str());
    let pack = batch.pack.map(|pack| format!(", {pack} pack")).unwrap_or_default();
    let place = batch.place.as_ref().map(|place| format!(", to {place}")).unwrap_or_default();
    let mut lines = vec![
        String::new(),
        format!("{}, put up {}{place}", batch.product, moments::day_in_words(batch.put_up)),
        format!("{food}{pack}"),
    ];
    for load in &batch.loads {
        let canner = load.canner.as_ref().map(|name| ledger.canner(name)).transpose()?;
        let has_pressure = canner.is_some_and(|canner| canner.method.is_pressure());
        lines.push(load_line(load, has_pressure, clock));
    }
    Ok(lines)
}

fn load_line(load: &NewLoad, has_pressure: bool, clock: Clock) -> String {
    let mut told = vec![in_words(&load.jars)];
    told.extend(load.canner.as_ref().map(ToString::to_string));
    told.extend(match &load.pressure {
        Some((pressure, _)) => Some(pressure.to_string()),
        None => has_pressure.then(|| "pressure not recorded".to_owned()),
    });
    told.push(load.minutes.map_or_else(|| "minutes not recorded".to_owned(), |min| format!("{min} min")));
    told.extend(load.vent_min.map(|min| format!("vented {min} min")));
    told.extend(load.acid.map(|acid| format!("acid: {acid}")));
    told.extend(load.lid_lot.as_ref().map(|lot| format!("lids {lot}")));
    told.extend(load.drops.iter().map(|drop| format!("drop {drop}")));
    told.extend(load.altitude.map(|altitude| format!("at {altitude}")));
    told.push(format!("out {}", moments::in_words(load.out_at, clock)));
    told.extend(load.went_wrong.as_ref().map(|what| format!("went wrong: {what}")));
    format!("- {}", told.join(", "))
}
