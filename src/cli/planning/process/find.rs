//! Asks for a food and shows what is tested for it.

use std::collections::BTreeMap;

use crate::answers::planning::gauge_target::Gauge;
use crate::answers::planning::process::{Asked, ProcessShown, Reply, key};
use crate::answers::planning::words;
use crate::answers::planning::words::venting;
use crate::cli::arguments::food_arg::food_offers;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::planning::process::args::Args;
use crate::cli::planning::process::household::{altitude, ledger_if_any, own_processes, units};
use crate::cli::planning::process::numbered::Notes;
use crate::cli::talk::ask::{Asker, Question};
use crate::cli::talk::screen::Screen;
use crate::paper::text::table::Table;
use crate::rules::process::absence::NoneBecause;
use crate::rules::process::household::HouseholdProcess;
use crate::rules::process::unknown_food;
use crate::tables::foods;
use crate::tables::foods::Food;
use crate::values::kinds::jar_size::JarSize;
use crate::values::measures::in_words::{height, inches, kilopascals};
use crate::values::measures::units::Units;

pub(super) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ledger_if_any(ctx)?;
    let own = own_processes(ledger.as_ref())?;
    let question = Question {
        ask: "Which food?",
        flag: "--food FOOD",
        help: "Its key or everyday words, such as green-beans or venison",
        default: None,
    };
    let (food, altitude) = Asker::new(screen).talk(|asker| {
        let food = asker.need_offering(
            args.food.clone(),
            question,
            || Ok(food_offers()),
            |words| match key(words, &own) {
                Some(food) => Ok(food.to_string()),
                None => Err(unknown_food(words).detail),
            },
        )?;
        let food = one_of_several(food, &own, asker)?;
        // For food that no table knows the altitude changes nothing.
        let known = key(&food, &own).is_some();
        let altitude = known.then(|| altitude(args.altitude, ledger.as_ref(), asker)).transpose()?;
        Ok((food, altitude))
    })?;
    let (canner, gauge) = match &args.canner {
        None => (None, None),
        Some(name) => {
            let ledger = ctx.open()?;
            let canner = ledger.canner(name)?;
            let gauge = Gauge::of(&ledger, &canner, ctx.clock.today())?;
            (Some(canner), Some(gauge))
        }
    };
    let units = units(ledger.as_ref())?;
    let (Some(food), Some(altitude)) = (key(&food, &own), altitude) else {
        return show(&Reply::unknown(&food, altitude.or(args.altitude)), gauge.as_ref(), units, screen);
    };
    let method = args.method.or(canner.map(|canner| canner.method));
    let asked = Asked { food, pack: args.pack, jar: args.jar, method, altitude };
    let reply = Reply::read(ledger.as_ref(), &own, &asked, gauge.as_ref())?;
    show(&reply, gauge.as_ref(), units, screen)
}

/// Asks which of several foods the words mean, where there is somebody to ask. A food that must not be canned is none of
/// them, and is said first.
fn one_of_several(words: String, own: &[HouseholdProcess], asker: &Asker) -> Result<String, Failure> {
    if !asker.can_ask() || key(&words, own).is_some() {
        return Ok(words);
    }
    let unknown = unknown_food(&words);
    if unknown.none_because == Some(NoneBecause::Never) || unknown.suggestions.is_empty() {
        return Ok(words);
    }
    let question = Question { ask: "Which?", flag: "--food FOOD", help: "", default: None };
    let foods = unknown.suggestions.iter().filter_map(foods::get).map(|food| Choice(Some(food)));
    let choices = foods.chain([Choice(None)]).collect();
    let Choice(chosen) = asker.need_one_of(None, question, choices, 0)?;
    Ok(chosen.map_or(words, |food| food.id.to_string()))
}

/// A food of the tables that may be meant; or none of them.
struct Choice(Option<&'static Food>);

impl std::fmt::Display for Choice {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.0.map_or("none of these", |food| &food.name))
    }
}

fn show(reply: &Reply, gauge: Option<&Gauge>, units: Units, screen: &mut Screen) -> Result<(), Failure> {
    if screen.json() {
        return screen.answer(reply);
    }
    let place = reply.height.map(height).unwrap_or_default();
    let names = |shown: &ProcessShown| (shown.pack, shown.jar, shown.method);
    let one = reply.options.first().or(reply.household_options.first()).map(names);
    let processes = reply.options.iter().chain(&reply.household_options).chain(&reply.household_set_aside);
    let all_one = processes.map(names).all(|names| Some(names) == one);
    if let (Some(name), true) = (reply.name, one.is_some()) {
        screen.say(name);
    }
    if let (Some((pack, jar, method)), true) = (one, all_one) {
        screen.say(format!("{pack} pack, {}, in {}, at {place}", jar.plural(), method.with_article()));
    }
    if reply.options.len() != 1 {
        screen.say(&reply.detail);
    }
    for (processes, heading) in [
        (&reply.options, None),
        (
            &reply.household_options,
            Some("Your own, from publications of yours; no table here confirms them:"),
        ),
        (
            &reply.household_set_aside,
            Some("Your own, set aside since another process for the same asks for more; do not use them:"),
        ),
    ] {
        if let Some(heading) = heading.filter(|_| !processes.is_empty()) {
            screen.say(heading);
        }
        if all_one {
            for one in processes {
                words::say(&one.process, units, screen);
                if let Some(advice) = gauge.and_then(|gauge| gauge.advice(one.process.psi?)) {
                    screen.say(format!("    {advice}"));
                }
            }
        } else if !processes.is_empty() {
            table(processes, units, screen);
        }
    }
    let instead = reply.tested_instead();
    if !instead.is_empty() {
        screen.say(format!("Tested at {} instead:", place));
        table(&instead, units, screen);
    }
    if one.is_some() || !instead.is_empty() {
        screen.say("");
        for caution in reply.cautions {
            screen.say(caution.text);
        }
    }
    Ok(())
}

/// The processes of several questions, one a line, with what must be said of them below.
fn table(processes: &[ProcessShown], units: Units, screen: &mut Screen) {
    let mut table = Table::new(["Pack", "Jar", "Canner", "Min", "psi", "kPa", "Headspace", "Notes"])
        .number(3)
        .number(4)
        .number(5);
    let mut notes = Notes::default();
    let mut sources: Vec<&str> = processes.iter().map(|one| one.process.source.as_str()).collect();
    sources.sort_unstable();
    sources.dedup();
    for one in processes {
        let of_row = venting(&one.process).into_iter().chain(one.process.notes.iter().cloned());
        let source = (sources.len() > 1).then(|| format!("from {}", one.process.source));
        let marks = notes.marks(of_row.chain(source));
        table.row([
            one.pack.to_string(),
            one.jar.to_string(),
            one.method.to_string(),
            one.process.minutes.to_string(),
            one.process.psi.map_or_else(String::new, |psi| psi.psi().to_string()),
            one.process.psi.map_or_else(String::new, kilopascals),
            inches(one.process.headspace_in, units),
            marks,
        ]);
    }
    screen.table(&table);
    notes.say(screen);
    let acids: BTreeMap<JarSize, String> =
        processes.iter().filter_map(|one| Some((one.jar, words::acid(&one.process)?))).collect();
    for (size, acid) in acids {
        screen.say(format!("add to each {size} {acid}"));
    }
    if let [source] = sources[..] {
        screen.say(format!("from {source}"));
    }
}
