use std::num::NonZeroU32;

use serde::Serialize;

use super::ask::{Asker, Question};
use super::context::Context;
use super::errors::{Code, Failure};
use super::measures::{height, time, weight};
use super::process::{altitude, key, words};
use super::screen::Screen;
use crate::ledger::{Canner, Ledger};
use crate::rules::altitude::Altitude;
use crate::rules::cautions::{self, Caution};
use crate::rules::counted::counted;
use crate::rules::food::FoodId;
use crate::rules::jar_size::JarSize;
use crate::rules::method::Pack;
use crate::rules::name::Name;
use crate::rules::plan::{self, TimedStep, Total};
use crate::rules::pounds::Pounds;
use crate::rules::process::{NoneBecause, ProcessQuestion, TestedProcess, look_up, unknown_food};
use crate::rules::produce::{Yield, yields};
use crate::tables::figures::Figure;

/// Plan a batch to come: jars, loads, lids, produce and the day's hours
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// What it will be: a product on record, or the key of a food
    product: Name,
    /// Produce there is, such as 24lb or 11kg
    #[arg(long, value_name = "WEIGHT", conflicts_with = "jars")]
    from_pounds: Option<Pounds>,
    /// Jars wanted
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u32).range(1..=10_000))]
    jars: Option<u32>,
    /// The jar: half-pint, pint, quart or half-gallon
    #[arg(long, value_name = "SIZE")]
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
    /// The canner [default: the only one]
    #[arg(long, value_name = "NAME")]
    canner: Option<Name>,
    /// Height above sea level [default: the kitchen's]
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    altitude: Option<Altitude>,
}

/// A process with the day it makes.
#[derive(Serialize)]
struct Day {
    #[serde(flatten)]
    process: TestedProcess,
    steps: Vec<TimedStep>,
    each_load: Total,
    all_loads: Total,
}

/// Produce for the jars.
#[derive(Serialize)]
struct Produce {
    pounds: Option<Pounds>,
    #[serde(flatten)]
    figure: Yield,
}

#[derive(Serialize)]
struct Plan {
    product: Name,
    food: FoodId,
    jar: JarSize,
    pack: Pack,
    jars: u32,
    lids: u32,
    canner: String,
    altitude: String,
    #[serde(skip)]
    place: String,
    loads: Vec<u32>,
    produce: Vec<Produce>,
    options: Vec<Day>,
    none_because: Option<NoneBecause>,
    detail: String,
    cool_hours: [u32; 2],
    cautions: [Caution; 2],
}

pub(super) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open()?;
    let asker = Asker::new(screen);
    let (food, last_pack) = food(&args, &ledger)?;
    let ask = |ask, flag, help| Question { ask, flag, help, default: None };
    let size = asker.need(args.jar, ask("Which jar?", "--jar SIZE", "such as pint or quart"), |text| {
        text.parse().map_err(|error: crate::rules::UnknownName| error.to_string())
    })?;
    let pack = asker.need(args.pack.or(last_pack), ask("Hot or raw pack?", "--pack PACK", ""), |text| {
        text.parse().map_err(|error: crate::rules::UnknownName| error.to_string())
    })?;
    let canner = canner(args.canner.as_ref(), &ledger)?;
    let altitude = altitude(args.altitude, Some(&ledger), screen)?;
    let styles = styles(args.style.as_deref(), &food, size)?;
    let jars = jars(&args, &food, size, &styles)?;
    let capacity = canner.holds.get(&size).copied().and_then(NonZeroU32::new).ok_or_else(|| {
        Failure::new(
            Code::NotFound,
            format!("how many {} {} takes is not on record", size.plural(), canner.name),
            "record the canner anew with its room for that size, under another name",
        )
    })?;
    let loads = plan::loads(jars, capacity);
    let come_up = ledger.come_up(&canner)?;
    let question = ProcessQuestion { food: food.clone(), pack, size, method: canner.method, altitude };
    let answer = look_up(&question, &ledger.household_processes()?);
    let days = answer
        .all()
        .map(|process| {
            let steps = plan::timetable(process, canner.method, size, come_up);
            let count = u32::try_from(loads.len()).expect("there are at most as many loads as jars");
            Day {
                process: process.clone(),
                each_load: plan::total(&steps, 1),
                all_loads: plan::total(&steps, count),
                steps,
            }
        })
        .collect();
    let produce =
        styles.into_iter().map(|figure| Produce { pounds: figure.pounds_for(jars), figure }).collect();
    let plan = Plan {
        product: args.product,
        food,
        jar: size,
        pack,
        jars,
        lids: jars,
        canner: canner.name,
        altitude: altitude.to_string(),
        place: height(altitude),
        loads,
        produce,
        options: days,
        none_because: answer.none_because,
        detail: answer.detail,
        cool_hours: [Figure::CoolAtLeast.value(), Figure::CoolAtMost.value()],
        cautions: [cautions::FIGURES_ONLY, cautions::ASK],
    };
    if screen.json() { screen.answer(&plan) } else { show(&plan, canner.method.is_pressure(), screen) }
}

/// The food meant, and how the product was packed last.
fn food(args: &Args, ledger: &Ledger) -> Result<(FoodId, Option<Pack>), Failure> {
    let own = ledger.household_processes()?;
    let last = ledger.last_made(&args.product)?;
    let last_pack = last.as_ref().and_then(|last| last.pack);
    let words = args.food.as_deref().unwrap_or(args.product.as_str());
    let last_food = last.and_then(|last| last.food).filter(|_| args.food.is_none());
    match last_food.or_else(|| key(words, &own)) {
        Some(food) => Ok((food, last_pack)),
        None => Err(Failure::new(
            Code::NotFound,
            unknown_food(words).detail,
            "say which food of the table it is with --food KEY; see `jarledger process --all`",
        )),
    }
}

fn canner(given: Option<&Name>, ledger: &Ledger) -> Result<Canner, Failure> {
    if let Some(name) = given {
        return Ok(ledger.canner(name)?);
    }
    let mut canners = ledger.canners()?;
    match (canners.pop(), canners.is_empty()) {
        (Some(only), true) => Ok(only),
        (None, _) => Err(Failure::new(
            Code::NotFound,
            "no canner is on record yet",
            "record yours with `jarledger canner add NAME --method pressure-dial --holds quart:7,pint:9`",
        )),
        (Some(_), false) => {
            Err(Failure::usage("there are several canners on record", "say which with --canner NAME"))
        }
    }
}

/// What the guide says of the produce, in the style asked for.
fn styles(style: Option<&str>, food: &FoodId, size: JarSize) -> Result<Vec<Yield>, Failure> {
    let all = yields(food, size);
    let Some(style) = style else { return Ok(all) };
    let known: Vec<&str> = all.iter().filter_map(|one| one.style).collect();
    if known.is_empty() {
        return Err(Failure::usage("the guide tells no styles of this food apart", "leave out --style"));
    }
    let names = known.join(" or ");
    let chosen: Vec<Yield> = all
        .iter()
        .filter(|one| one.style.is_some_and(|name| name.eq_ignore_ascii_case(style)))
        .cloned()
        .collect();
    if chosen.is_empty() {
        return Err(Failure::usage(
            format!("there is no style \u{201c}{style}\u{201d}"),
            format!("use {names}"),
        ));
    }
    Ok(chosen)
}

/// How many jars it will be.
fn jars(args: &Args, food: &FoodId, size: JarSize, styles: &[Yield]) -> Result<u32, Failure> {
    let Some(pounds) = args.from_pounds else {
        return args.jars.ok_or_else(|| {
            Failure::usage("neither produce nor jars were given", "add --from-pounds 24lb or --jars 14")
        });
    };
    match styles {
        [one] => match one.jars_from(pounds) {
            0 => Err(Failure::usage(
                format!("{} does not fill one jar", weight(pounds)),
                format!(
                    "the guide gives {} for {} {}",
                    weight(one.load_pounds),
                    one.load_jars,
                    size.plural()
                ),
            )),
            jars => Ok(jars),
        },
        [] => Err(Failure::usage(
            format!("the guide gives no weight of produce for {food} in {}", size.plural()),
            "say how many jars you want with --jars COUNT",
        )),
        several => {
            let names: Vec<&str> = several.iter().filter_map(|one| one.style).collect();
            Err(Failure::usage(
                format!("the guide gives a weight for each style: {}", names.join(", ")),
                format!("say which with --style {:?}", names[0]),
            ))
        }
    }
}

fn show(plan: &Plan, pressure: bool, screen: &mut Screen) -> Result<(), Failure> {
    screen.say(format!(
        "{}: {} of {}, {} pack, {} at {}",
        plan.product,
        plan.jar.counted(plan.jars),
        plan.food,
        plan.pack,
        plan.canner,
        plan.place
    ));
    let loads: Vec<String> = plan.loads.iter().map(u32::to_string).collect();
    let count = counted(loads.len(), "load", "loads");
    screen.say(format!("  {count}: {}; {} new lids", loads.join(", "), plan.lids));
    for produce in &plan.produce {
        let figure = &produce.figure;
        let style = figure.style.map(|style| format!("for {style} ")).unwrap_or_default();
        let amount = produce.pounds.map_or_else(|| "more than 9,999 lb".to_owned(), weight);
        let extra = [figure.remark, figure.basis.warning()].into_iter().flatten();
        let extra: String = extra.map(|text| format!(" ({text})")).collect();
        screen.say(format!("  {style}{amount} of produce as bought, from {}{extra}", figure.source));
    }
    if plan.produce.is_empty() {
        screen.say("  the guide gives no weight of produce for this");
    }
    if plan.options.is_empty() {
        screen.say(format!("No timetable: {}", plan.detail));
        return Ok(());
    }
    if plan.options.len() > 1 {
        screen.say(&plan.detail);
    }
    for day in &plan.options {
        screen.say("");
        screen.say(format!("Each load, {}:", words::figures(&day.process)));
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
        (plan::Step::Vent, _) => "vent",
        (plan::Step::ComeUp, true) => "come up to pressure",
        (plan::Step::ComeUp, false) => "come to a full boil",
        (plan::Step::Process, _) => "process",
        (plan::Step::PressureFalls, _) => "let the pressure fall by itself",
        (plan::Step::Wait, true) => "wait, then take off the lid",
        (plan::Step::Wait, false) => "heat off, lid off, wait, then lift the jars",
    }
}
