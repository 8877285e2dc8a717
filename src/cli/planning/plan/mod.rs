//! `plan`: a batch to come, its loads and its day.
//!
//! May use: process, arguments, canning_day, talk, answers, ledger, paper, rules, tables, values.

pub(in crate::cli) mod args;
mod jars_wanted;
mod one_size;
mod recipe_day;
mod several_sizes;
mod time_ahead;
mod wanted;

use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::Asker;
use crate::cli::talk::screen::Screen;
use args::Args;
use jars_wanted::JarsWanted;
use one_size::{plan_of, show};

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    if args.recipe.is_some() {
        return recipe_day::run(&args, ctx, screen);
    }
    let ledger = ctx.open()?;
    match args.jars.as_ref().map(JarsWanted::sizes).unwrap_or_default() {
        sizes @ [_, _, ..] => several_sizes::run(&args, sizes, &ledger, ctx, screen),
        _ => {
            let wanted = Asker::new(screen).talk(|asker| wanted::ask(&args, None, &ledger, asker))?;
            let is_pressure = wanted.canner.method.is_pressure();
            let plan = plan_of(wanted, &ledger, ctx)?;
            if screen.json() {
                screen.answer(&plan)
            } else {
                show(&plan, is_pressure, ledger.units()?, screen)
            }
        }
    }
}
