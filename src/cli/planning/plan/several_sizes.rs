//! A plan for jars of several sizes: each size by itself, and the loads they make together.

use crate::answers::jars::sizes::in_words;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::planning::plan::{Args, Plan, plan_of, show, wanted};
use crate::cli::talk::ask::Asker;
use crate::cli::talk::screen::Screen;
use crate::ledger::file::open::Ledger;
use crate::rules::recipe::definition::JarsOfSize;
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::counted::counted;

/// The plans with the loads of all of them.
#[derive(serde::Serialize)]
struct Plans {
    plans: Vec<Plan>,
    /// Each load, by size.
    loads: Vec<Vec<JarsOfSize>>,
    detail: String,
}

pub(super) fn run(
    args: &Args,
    sizes: &[(JarSize, u32)],
    ledger: &Ledger,
    ctx: &Context,
    screen: &mut Screen,
) -> Result<(), Failure> {
    let mut wanted = Vec::new();
    for &of_size in sizes {
        wanted.push(Asker::new(screen).talk(|asker| wanted::ask(args, Some(of_size), ledger, asker))?);
    }
    let canner = wanted[0].canner.clone();
    let plans =
        wanted.into_iter().map(|wanted| plan_of(wanted, ledger, ctx)).collect::<Result<Vec<_>, _>>()?;
    // Sizes go in together only where one process serves them all.
    let figures = |size: JarSize| {
        let plan = plans.iter().find(|plan| plan.jar == size)?;
        let process = &plan.options.first()?.process;
        Some((process.minutes, process.psi, process.vent_min))
    };
    let may_share = |sizes: &[JarSize]| {
        let first = sizes.first().and_then(|&size| figures(size));
        first.is_some() && sizes.iter().all(|&size| figures(size) == first)
    };
    let loads = canner.room().fewest(sizes, may_share).map_err(|error| {
        Failure::new(
            Code::NotFound,
            format!("{}: {error}", canner.name),
            "record the canner again under another name, with its room for that size",
        )
    })?;
    let said: Vec<String> = loads.iter().map(|load| in_words(load)).collect();
    let why = if loads.iter().any(|load| load.len() > 1) {
        ""
    } else if canner.holds_together.is_empty() {
        " Each size goes in by itself, since nothing on record says how many of each the canner holds together."
    } else {
        " Each size goes in by itself: together they would save no load, or have no process in common."
    };
    let detail = format!("{}: {}.{why}", counted(loads.len(), "load", "loads"), said.join("; "));
    if screen.json() {
        let of_load = |load: Vec<(JarSize, u32)>| {
            load.into_iter().map(|(size, jars)| JarsOfSize { size, jars }).collect::<Vec<_>>()
        };
        let loads = loads.into_iter().map(of_load).collect();
        return screen.answer(&Plans { plans, loads, detail });
    }
    for plan in &plans {
        show(plan, canner.method.is_pressure(), ledger.units()?, screen)?;
        screen.say("");
    }
    if plans.iter().all(|plan| !plan.options.is_empty()) {
        screen.say(format!("All of them in {}: {detail}", canner.name));
    }
    Ok(())
}
