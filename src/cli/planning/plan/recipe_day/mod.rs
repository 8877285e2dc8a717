//! A day by a recipe: what it takes, in which canners, and when each thing begins.
//!
//! May use arguments, talk, process, recipe, the ledger and paper.

mod canners;
mod paper;
mod show;
mod wish;

use std::path::PathBuf;

use chrono::{DateTime, FixedOffset, TimeDelta};

use crate::answers::jars::sizes::in_words;
use crate::answers::planning::shopping::{Shopping, of_shelf};
use crate::cli::arguments::out_file::OutArgs;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::planning::plan::Args;
use crate::cli::talk::ask::Asker;
use crate::cli::talk::quoted::quoted;
use crate::cli::talk::screen::Screen;
use crate::ledger::kitchen::recipe::RecipeOnRecord;
use crate::ledger::kitchen::wall_clock::on_the_wall;
use crate::rules::canning_day::planned_day::{Doing, HANDS, Stretch, Timed, preparations, timetable};
use crate::rules::canning_day::shortest::{NoDay, Slot, shortest};
use crate::rules::recipe::definition::{JarsOfSize, Preparation};
use crate::rules::seal::seal_window::SealWindow;
use crate::values::kinds::jar_size::JarSize;
use crate::values::measures::units::Units;
use canners::{CannerOfDay, Process};
use wish::{Length, Wish};

/// Most jars planned for one day.
const MOST_JARS: u32 = 500;

/// A planned day.
#[derive(serde::Serialize)]
struct Day {
    recipe: String,
    version: u32,
    jars: Vec<JarsOfSize>,
    start: DateTime<FixedOffset>,
    done: DateTime<FixedOffset>,
    minutes: u32,
    timetable: Vec<Entry>,
    loads: Vec<Load>,
    processes: Vec<Process>,
    lids: u32,
    #[serde(flatten)]
    shopping: Shopping,
    seal_check_from: DateTime<FixedOffset>,
    seal_check_to: DateTime<FixedOffset>,
    /// What the plan takes for granted, in sentences.
    assumed: Vec<String>,
    cautions: Vec<String>,
    #[serde(skip)]
    units: Units,
    #[serde(skip_serializing_if = "Option::is_none")]
    card: Option<PathBuf>,
    #[serde(skip_serializing_if = "Option::is_none")]
    ics: Option<PathBuf>,
}

#[derive(serde::Serialize)]
struct Load {
    load: usize,
    canner: String,
    jars: Vec<JarsOfSize>,
}

/// One line of the timetable.
#[derive(serde::Serialize)]
struct Entry {
    at: DateTime<FixedOffset>,
    until: DateTime<FixedOffset>,
    what: String,
    canner: Option<String>,
    load: Option<usize>,
    hands_on: bool,
    #[serde(skip)]
    doing: Doing,
}

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
    let canners = canners::of_day(args, recipe, &sizes, &ledger, &asker, ctx)?;
    let wanted: Vec<u32> = jars.iter().map(|&(_, jars)| jars).collect();
    let ways: Vec<_> = canners.iter().map(CannerOfDay::ways).collect();
    let slots = shortest(&wanted, &ways, HANDS).map_err(|error| match error {
        NoDay::NoCanner => canners::no_canner(recipe, &sizes, &canners),
        NoDay::TooLarge => Failure::usage(format!("{error}; nothing was planned"), "plan fewer jars"),
    })?;
    let in_canner = |slot: &Slot| -> &[Stretch] {
        canners[slot.canner]
            .of_size(canners[slot.canner].size_of(slot))
            .map_or(&[], |ready| &ready.in_canner.stretches)
    };
    let day = timetable(&recipe.steps, &slots, in_canner);
    let evening = preparations(&recipe.steps, true);
    let ends = |timed: &[Timed]| timed.iter().map(|one| one.until).max().unwrap_or(0);
    let length = Length { day: ends(&day), evening: ends(&evening) };
    let wish = Wish::of(args.start, args.done_by, ctx.clock.now);
    let begins = wish.settle(length, ctx.clock)?;
    let words =
        |timed: &Timed, from: DateTime<FixedOffset>| entry(timed, from, &on_record, &slots, &canners, &sizes);
    let mut entries: Vec<Entry> = evening.iter().map(|timed| words(timed, begins.evening)).collect();
    entries.extend(day.iter().map(|timed| words(timed, begins.day)));
    let out_of = |slot: &Slot| {
        let last = day.iter().filter(|timed| timed.load.map(|load| &slots[load]) == Some(slot));
        begins.day + TimeDelta::minutes(last.map(|timed| timed.until).max().unwrap_or(0).into())
    };
    let windows: Vec<SealWindow> = slots.iter().map(|slot| SealWindow::after(out_of(slot))).collect();
    let done = begins.day + TimeDelta::minutes(length.day.into());
    let planned = Day {
        recipe: recipe.name.clone(),
        version: on_record.version,
        start: entries.first().map_or(begins.day, |first| first.at),
        done: on_the_wall(done),
        minutes: length.day,
        timetable: entries,
        loads: loads(&slots, &canners, &sizes),
        lids: count,
        shopping: of_shelf(&recipe.for_jars(&jars), &ledger, ctx.clock.now)?,
        seal_check_from: on_the_wall(windows.iter().map(|window| window.opens()).max().unwrap_or(done)),
        seal_check_to: on_the_wall(windows.iter().map(|window| window.due()).min().unwrap_or(done)),
        assumed: canners::assumed(&canners, &slots),
        processes: canners::used(canners, &slots),
        jars: jars.into_iter().map(|(size, jars)| JarsOfSize { size, jars }).collect(),
        cautions: recipe.cautions(),
        units: ledger.units()?,
        card: card.as_ref().map(|file| file.path().to_owned()),
        ics: ics.as_ref().map(|file| file.path().to_owned()),
    };
    if let Some(file) = card {
        file.write(&paper::card(&planned, args.page, ledger.last_written()?, ctx.clock)?)?;
    }
    if let Some(file) = ics {
        file.write(&paper::calendar(&planned, &ledger, ctx.clock))?;
    }
    if screen.json() { screen.answer(&planned) } else { show::show(&planned, ctx.clock, screen) }
}

fn loads(slots: &[Slot], canners: &[CannerOfDay], sizes: &[JarSize]) -> Vec<Load> {
    let numbered = slots.iter().zip(1..);
    numbered
        .map(|(slot, load)| Load {
            load,
            canner: canners[slot.canner].canner.name.clone(),
            jars: jars_of(slot, sizes).into_iter().map(|(size, jars)| JarsOfSize { size, jars }).collect(),
        })
        .collect()
}

fn entry(
    timed: &Timed,
    from: DateTime<FixedOffset>,
    on_record: &RecipeOnRecord,
    slots: &[Slot],
    canners: &[CannerOfDay],
    sizes: &[JarSize],
) -> Entry {
    let slot = timed.load.map(|load| &slots[load]);
    let what = match (&timed.doing, slot) {
        (Doing::Prepare(place), _) => {
            on_record.recipe.steps.get(*place).map(|step: &Preparation| step.what.clone()).unwrap_or_default()
        }
        (Doing::Fill, Some(slot)) => format!("fill {}", in_words(&jars_of(slot, sizes))),
        (Doing::LiftOut, Some(slot)) => format!("lift out {}", in_words(&jars_of(slot, sizes))),
        (Doing::InCanner(step), Some(slot)) => {
            canners[slot.canner].words(*step, canners[slot.canner].size_of(slot))
        }
        (Doing::Fill | Doing::LiftOut | Doing::InCanner(_), None) => String::new(),
    };
    let at = |minutes: u32| on_the_wall(from + TimeDelta::minutes(minutes.into()));
    Entry {
        at: at(timed.at),
        until: at(timed.until),
        what,
        canner: slot.map(|slot| canners[slot.canner].canner.name.clone()),
        load: timed.load.map(|load| load + 1),
        hands_on: timed.hands_on,
        doing: timed.doing.clone(),
    }
}

/// The jars of a load, by size.
fn jars_of(slot: &Slot, sizes: &[JarSize]) -> Vec<(JarSize, u32)> {
    sizes.iter().copied().zip(slot.jars.iter().copied()).filter(|(_, jars)| *jars > 0).collect()
}

/// Refuses a recipe that goes into no canner.
fn needs_process(name: &str) -> Failure {
    Failure::new(
        Code::Refused,
        format!("recipe {name} names no process, so there is nothing to plan for a canner"),
        format!("add its food and pack with `jarledger recipe edit {}`", quoted(name)),
    )
}
