//! A plan for jars of several sizes: each size by itself, and the loads they make together.

use crate::answers::planning::plan::Plans;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::planning::plan::args::Args;
use crate::cli::planning::plan::one_size::{no_room, plan_of, show};
use crate::cli::planning::plan::wanted;
use crate::cli::talk::ask::Asker;
use crate::cli::talk::screen::Screen;
use crate::ledger::file::open::Ledger;
use crate::values::kinds::jar_size::JarSize;

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
    let all =
        Plans::of(plans, &canner, sizes).map_err(|error| no_room(format!("{}: {error}", canner.name)))?;
    if screen.json() {
        return screen.answer(&all);
    }
    for plan in &all.plans {
        show(plan, canner.method.is_pressure(), ledger.units()?, screen)?;
        screen.say("");
    }
    if all.plans.iter().all(|plan| !plan.options.is_empty()) {
        screen.say(format!("All of them in {}: {}", canner.name, all.detail));
    }
    Ok(())
}
