//! A day by a recipe: what it takes, in which canners, and when each thing begins.
//!
//! May use: process, arguments, canning_day, talk, answers, ledger, paper, rules, values.

mod paper;
mod show;
mod wish;

use std::path::PathBuf;

use crate::answers::planning::day::Course;
use crate::answers::planning::day_canners::{CannerOfDay, left_out, of_day};
use crate::cli::arguments::out_file::OutArgs;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::planning::plan::args::Args;
use crate::cli::planning::plan::wanted::on_record;
use crate::cli::planning::process::household::altitude;
use crate::cli::talk::ask::Asker;
use crate::cli::talk::screen::Screen;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::canner::Canner;
use crate::rules::canning_day::shortest::NoDay;
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::quoted::quoted;
use wish::Wish;

/// Most jars planned for one day.
const MOST_JARS: u32 = 500;

pub(super) fn run(args: &Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let words = args.recipe.as_ref().expect("the caller saw one");
    let asker = Asker::new(screen);
    let file = |path: &Option<PathBuf>, example: &str| {
        let out = path.clone().map(|path| OutArgs::of(path, args.force));
        out.map(|out| out.file(ctx, example, &asker)).transpose()
    };
    let (card, ics) = (file(&args.card, "day.pdf")?, file(&args.ics, "day.ics")?);
    let ledger = ctx.open()?;
    let on_record = ledger.recipe(words)?;
    let recipe = &on_record.recipe;
    let jars = args.jars.as_ref().map_or_else(
        || vec![(recipe.makes.size, recipe.makes.jars)],
        |jars| jars.of_recipe(recipe.makes.size),
    );
    let count: u32 = jars.iter().map(|(_, jars)| jars).sum();
    if count > MOST_JARS {
        return Err(Failure::usage(
            format!("{count} jars are more than one day's plan takes ({MOST_JARS})"),
            "plan fewer jars, or several days",
        ));
    }
    let sizes: Vec<JarSize> = jars.iter().map(|&(size, _)| size).collect();
    let canners = canners(args, &ledger)?;
    let (Some(food), Some(pack)) = (&recipe.food, recipe.pack) else {
        return Err(needs_process(&recipe.name));
    };
    let altitude = altitude(args.altitude, Some(&ledger), &asker)?;
    let canners = of_day(canners, (food, pack, altitude), &sizes, &ledger, ctx.clock.today())?;
    let course = Course::of(&on_record, &jars, &canners).map_err(|error| match error {
        NoDay::NoCanner => no_canner(&recipe.name, &sizes, &canners),
        NoDay::TooLarge => Failure::usage(format!("{error}; nothing was planned"), "plan fewer jars"),
    })?;
    let begins = Wish::of(args.start, args.done_by, ctx.clock.now)?.settle(course.length(), ctx.clock)?;
    let mut planned = course.begun(begins, &ledger, ctx.clock)?;
    planned.card = card.as_ref().map(|file| file.path().to_owned());
    planned.ics = ics.as_ref().map(|file| file.path().to_owned());
    if let Some(file) = card {
        file.write(&paper::card(&planned, args.page, ledger.last_written()?, ctx.clock)?)?;
    }
    if let Some(file) = ics {
        file.write(&paper::calendar(&planned, &ledger, ctx.clock))?;
    }
    if screen.json() { screen.answer(&planned) } else { show::show(&planned, ctx.clock, screen) }
}

/// The canners named, else all on record.
fn canners(args: &Args, ledger: &Ledger) -> Result<Vec<Canner>, Failure> {
    if args.canner.is_empty() {
        return on_record(ledger);
    }
    Ok(args.canner.iter().map(|name| ledger.canner(name)).collect::<Result<_, _>>()?)
}

/// Says why a size goes into none of the canners.
fn no_canner(recipe: &str, sizes: &[JarSize], canners: &[CannerOfDay]) -> Failure {
    let (size, reasons) = left_out(sizes, canners);
    Failure::new(
        Code::Refused,
        format!(
            "{} of {recipe} go into none of these canners; nothing was planned\n  {}",
            sizes[size].plural(),
            reasons.join("\n  ")
        ),
        "see `jarledger process --food FOOD` for what is tested",
    )
}

/// Refuses a recipe that goes into no canner.
fn needs_process(name: &str) -> Failure {
    Failure::new(
        Code::Refused,
        format!("recipe {name} names no process, so there is nothing to plan for a canner"),
        format!("add its food and pack with `jarledger recipe edit {}`", quoted(name)),
    )
}
