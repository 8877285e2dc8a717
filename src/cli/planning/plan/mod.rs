//! `plan`: a batch to come, its loads and its day.
//!
//! May use: process, arguments, canning_day, talk, answers, ledger, paper, rules, tables, values.

mod jars_wanted;
mod recipe_day;
mod several_sizes;
mod time_ahead;
mod wanted;

use std::num::NonZeroU32;
use std::path::PathBuf;

use crate::answers::planning::plan::{Plan, Wanted};
use crate::answers::planning::words;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::talk::ask::Asker;
use crate::cli::talk::screen::Screen;
use crate::ledger::file::open::Ledger;
use crate::paper::label::sheet::page::Page;
use crate::rules::canning_day::day as plan;
use crate::rules::canning_day::day::TimedStep;
use crate::tables::figures::Figure;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Pack;
use crate::values::measures::altitude::Altitude;
use crate::values::measures::in_words::{time, weight};
use crate::values::measures::pounds::Pounds;
use crate::values::measures::units::Units;
use crate::values::names::counted::counted;
use crate::values::names::name::Name;
use jars_wanted::JarsWanted;
use time_ahead::TimeAhead;

/// Plan a batch to come: jars, loads, lids, produce and the day's hours
///
/// With --recipe it plans the whole day by the clock: what to buy, which jars of your own to use, what is done when, and
/// in which canner.
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    /// What it will be: a product on record, or the key of a food
    product: Option<Name>,
    /// Produce there is, such as 24lb or 11kg
    #[arg(long, value_name = "WEIGHT", conflicts_with = "jars")]
    from_pounds: Option<Pounds>,
    /// Jars wanted: 14, or with their size pint:18; or of several sizes pint:18,quart:7
    #[arg(long, value_name = "JARS", allow_negative_numbers = true)]
    jars: Option<JarsWanted>,
    /// The jar: half-pint, pint, quart or half-gallon
    #[arg(long, value_name = "SIZE", value_parser = JarSize::read)]
    jar: Option<JarSize>,
    /// Hot or raw [default: as the product was packed last]
    #[arg(long)]
    pack: Option<Pack>,
    /// The food of the process table, where the product's name is not its key
    #[arg(long)]
    food: Option<String>,
    /// Which style, where the guide gives produce for several, such as "thin sauce"
    #[arg(long)]
    style: Option<String>,
    /// The canner; may be repeated with --recipe [default: the only one; with --recipe all that take the jars]
    #[arg(long, value_name = "NAME")]
    canner: Vec<Name>,
    /// Height above sea level [default: the kitchen's]
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    altitude: Option<Altitude>,
    /// The recipe to plan the day by
    #[arg(long, value_name = "NAME", conflicts_with_all = ["product", "from_pounds", "jar", "pack", "food", "style"])]
    recipe: Option<Name>,
    /// When to begin, such as 9:00 or "Saturday 9am" [default: now]
    #[arg(long, value_name = "TIME", requires = "recipe")]
    start: Option<TimeAhead>,
    /// When the last jar is to be out, such as 18:00 or "tomorrow 18:00"
    #[arg(long, value_name = "TIME", requires = "recipe", conflicts_with = "start")]
    done_by: Option<TimeAhead>,
    /// Write the day as a page to hang in the kitchen (PDF)
    #[arg(long, value_name = "FILE.pdf", requires = "recipe")]
    card: Option<PathBuf>,
    /// The paper of that page: letter, a4, or its width and height
    #[arg(long, value_name = "PAGE", default_value = "letter", requires = "card")]
    page: Page,
    /// Write the day as a calendar file, with an alarm for each step that needs hands
    #[arg(long, value_name = "FILE.ics", requires = "recipe")]
    ics: Option<PathBuf>,
    /// Replace such a file if there is one
    #[arg(long, requires = "recipe")]
    force: bool,
}

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

/// Says that a canner has no room on record for a size.
fn no_room(message: String) -> Failure {
    Failure::new(
        Code::NotFound,
        message,
        "record the canner again under another name, with its room for that size",
    )
}

/// The plan for one size of jar.
fn plan_of(wanted: Wanted, ledger: &Ledger, ctx: &Context) -> Result<Plan, Failure> {
    let (canner, size) = (&wanted.canner, wanted.size);
    let capacity = canner.holds.get(&size).copied().and_then(NonZeroU32::new).ok_or_else(|| {
        no_room(format!("how many {} {} takes is not on record", size.plural(), canner.name))
    })?;
    Ok(Plan::of(wanted, capacity, ledger, ctx.clock.today())?)
}

fn show(plan: &Plan, pressure: bool, units: Units, screen: &mut Screen) -> Result<(), Failure> {
    if plan.options.is_empty() {
        screen.say(format!("No tested process. {}", plan.detail));
    }
    screen.say(format!(
        "{}: {} of {}, {} pack, {} at {}",
        plan.product,
        plan.jar.counted(plan.jars),
        plan.food,
        plan.pack,
        plan.canner,
        plan.place
    ));
    if plan.options.is_empty() {
        // Times and produce are no help where it must not be canned this way.
        for caution in plan.cautions {
            screen.say(caution.text);
        }
        return Ok(());
    }
    let loads: Vec<String> = plan.loads.iter().map(u32::to_string).collect();
    let count = counted(loads.len(), "load", "loads");
    let lids = counted(plan.lids, "new lid", "new lids");
    screen.say(format!("  {count}: {}; {lids}", loads.join(", ")));
    for produce in &plan.produce {
        let figure = &produce.figure;
        let style = figure.style.map(|style| format!("for {style} ")).unwrap_or_default();
        let amount =
            produce.pounds.map_or_else(|| "more than 9,999 lb".to_owned(), |pounds| weight(pounds, units));
        let extra = [figure.remark, figure.basis.warning()].into_iter().flatten();
        let extra: String = extra.map(|text| format!(" ({text})")).collect();
        screen.say(format!("  {style}{amount} of produce as bought, from {}{extra}", figure.source));
    }
    if plan.produce.is_empty() {
        screen.say("  the guide gives no weight of produce for this");
    }
    if plan.options.len() > 1 {
        screen.say(&plan.detail);
    }
    for day in &plan.options {
        screen.say("");
        screen.say(format!("Each load, {}:", words::figures(&day.process, units)));
        if let Some(advice) = &day.gauge {
            screen.say(format!("    {advice}"));
        }
        words::say_terms(&day.process, screen);
        for step in &day.steps {
            let minutes = step
                .minutes
                .map_or_else(|| step.source.clone(), |minutes| format!("{}; {}", time(minutes), step.source));
            let warning = step.basis.and_then(|basis| basis.warning());
            let extra: String =
                [step.remark, warning].into_iter().flatten().map(|text| format!(" ({text})")).collect();
            screen.say(format!("  {}: {minutes}{extra}", step_words(step, pressure)));
        }
        let least = if day.all_loads.at_least { "at least " } else { "" };
        screen.say(format!(
            "  together {least}{} a load, {least}{} for all, one after another",
            time(day.each_load.minutes),
            time(day.all_loads.minutes)
        ));
    }
    screen.say("");
    screen.say(format!(
        "Then let the jars stand {} to {} h before the seals are checked ({}).",
        plan.cool_hours[0],
        plan.cool_hours[1],
        Figure::CoolAtLeast.row().source
    ));
    for caution in plan.cautions {
        screen.say(caution.text);
    }
    Ok(())
}

const fn step_words(step: &TimedStep, pressure: bool) -> &'static str {
    match (step.step, pressure) {
        (plan::Step::Heat, _) => "heat until steam flows",
        (plan::Step::Vent, _) => "vent",
        (plan::Step::ComeUp, true) => "come up to pressure",
        (plan::Step::ComeUp, false) => "come to a full boil",
        (plan::Step::Process, _) => "process",
        (plan::Step::PressureFalls, _) => "let the pressure fall by itself",
        (plan::Step::Wait, true) => "wait, then take off the lid",
        (plan::Step::Wait, false) => "heat off, lid off, wait, then lift the jars",
    }
}
