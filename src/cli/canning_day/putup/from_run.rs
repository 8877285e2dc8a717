//! What a run knows of its load, taken over where nothing else was said.

use crate::cli::arguments::moment::Moment;
use crate::cli::canning_day::putup::told::{LoadTold, Told};
use crate::cli::errors::{Code, Failure};
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::run::Run;
use crate::rules::canning_day::run::{RunFacts, facts};

/// Completes what was told by the run it names, if it names one.
pub(super) fn complete(mut told: Told, ledger: &Ledger) -> Result<Told, Failure> {
    let Some(id) = told.every_load.run else { return Ok(told) };
    if !told.loads.is_empty() {
        return Err(Failure::usage(
            "--run is for a batch of one load; nothing was saved",
            "leave --load out, or log each load as a batch of its own",
        ));
    }
    let run = ledger.run_under_way(id)?;
    let Some(facts) = facts(&run.taken) else {
        return Err(Failure::new(
            Code::Refused,
            format!("the jars of run {id} are not out yet; nothing was saved"),
            format!("say `jarledger run step out --run {id}` when they are"),
        ));
    };
    told.recipe = told.recipe.or_else(|| run.recipe.as_ref()?.parse().ok());
    told.food.get_or_insert_with(|| run.food.to_string());
    told.pack.get_or_insert(run.pack);
    let load = std::mem::take(&mut told.every_load);
    told.every_load = load.or(&known(&run, &facts));
    Ok(told)
}

fn known(run: &Run, facts: &RunFacts) -> LoadTold {
    LoadTold {
        canner: run.canner.parse().ok(),
        altitude: Some(run.altitude),
        minutes: facts.minutes,
        vent: facts.vent_min.filter(|_| run.aim.method.is_pressure()),
        come_up: facts.come_up_min,
        out: Some(Moment::At(facts.out_at.naive_local())),
        ..LoadTold::default()
    }
}
