//! One question, or all that is tested for a food.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::planning::process::gauge_target::Gauge;
use crate::cli::planning::process::numbered::{Notes, venting};
use crate::cli::planning::process::{
    Args, altitude, food_offers, ledger_if_any, own_processes, units, words,
};
use crate::cli::talk::ask::{Asker, Question};
use crate::cli::talk::measures::{height, inches, kilopascals};
use crate::cli::talk::screen::Screen;
use crate::paper::text::table::Table;
use crate::rules::food::food_search;
use crate::rules::food::food_search::Found;
use crate::rules::process::{
    Alternative, Answer, HouseholdProcess, NoneBecause, ProcessQuestion, TestedProcess, look_up, unknown_food,
};
use crate::rules::spoilage::cautions;
use crate::rules::spoilage::cautions::Caution;
use crate::tables::foods::Food;
use crate::tables::{foods, processes};
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Method, Pack};
use crate::values::measures::altitude::Altitude;
use crate::values::measures::pressure::Pressure;
use crate::values::measures::units::Units;

const CAUTIONS: [Caution; 2] = [cautions::FIGURES_ONLY, cautions::ASK];

/// A process with the part of the question it answers.
#[derive(Debug, Serialize)]
struct ProcessShown {
    #[serde(flatten)]
    process: TestedProcess,
    pack: Pack,
    jar: JarSize,
    method: Method,
    /// What the dial of the canner asked for must show.
    #[serde(skip_serializing_if = "Option::is_none")]
    dial_target_psi: Option<Pressure>,
}

#[derive(Debug, Serialize)]
struct Reply {
    food: Option<FoodId>,
    name: Option<&'static str>,
    altitude: Option<String>,
    #[serde(skip)]
    height: Option<Altitude>,
    #[serde(skip)]
    place: String,
    options: Vec<ProcessShown>,
    household_options: Vec<ProcessShown>,
    /// The household's processes that ask for less than another one here, and decide nothing.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    household_set_aside: Vec<ProcessShown>,
    none_because: Option<NoneBecause>,
    detail: String,
    tested_instead: Vec<Alternative>,
    suggestions: Vec<FoodId>,
    cautions: [Caution; 2],
}

/// A question of which some parts may be left open.
struct Asked {
    food: FoodId,
    pack: Option<Pack>,
    jar: Option<JarSize>,
    method: Option<Method>,
    altitude: Altitude,
}

impl Asked {
    const fn is_whole(&self) -> bool {
        self.pack.is_some() && self.jar.is_some() && self.method.is_some()
    }

    /// Every whole question that the open parts allow.
    fn questions(&self) -> Vec<ProcessQuestion> {
        let mut questions = Vec::new();
        for &pack in Pack::ALL.iter().filter(|&&pack| self.pack.is_none_or(|wanted| wanted == pack)) {
            for &size in JarSize::ALL.iter().filter(|&&size| self.jar.is_none_or(|wanted| wanted == size)) {
                for &method in
                    Method::ALL.iter().filter(|&&one| self.method.is_none_or(|wanted| wanted == one))
                {
                    let (food, altitude) = (self.food.clone(), self.altitude);
                    questions.push(ProcessQuestion { food, pack, size, method, altitude });
                }
            }
        }
        questions
    }

    /// The whole question that is nearest to being answered, for saying why there is no answer.
    fn nearest(&self) -> ProcessQuestion {
        let fits = |row: &processes::ProcessRow| {
            usize::from(self.method.is_none_or(|method| row.method == method)) * 4
                + usize::from(self.jar.is_none_or(|size| row.size == size)) * 2
                + usize::from(self.pack.is_none_or(|pack| row.pack == pack))
        };
        let row = processes::of(&self.food).max_by_key(|row| fits(row));
        ProcessQuestion {
            food: self.food.clone(),
            pack: self.pack.or(row.map(|row| row.pack)).unwrap_or(Pack::Hot),
            size: self.jar.or(row.map(|row| row.size)).unwrap_or(JarSize::Pint),
            method: self.method.or(row.map(|row| row.method)).unwrap_or(Method::PressureDial),
            altitude: self.altitude,
        }
    }
}

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
        return show(
            reply(None, altitude.or(args.altitude), unknown_food(&food)),
            gauge.as_ref(),
            units,
            screen,
        );
    };
    let method = args.method.or(canner.map(|canner| canner.method));
    let asked = Asked { food, pack: args.pack, jar: args.jar, method, altitude };
    let kinds = match &ledger {
        Some(ledger) => ledger.canners()?.into_iter().map(|canner| canner.method).collect(),
        None => Vec::new(),
    };
    show(answer(&asked, &own, &kinds, gauge.as_ref()), gauge.as_ref(), units, screen)
}

/// The key meant by words, which is only a key itself: the tables' own or one of the household's.
pub(in crate::cli) fn key(words: &str, own: &[HouseholdProcess]) -> Option<FoodId> {
    if let Found::Exact(food) = food_search::find(words) {
        return Some(food.id.clone());
    }
    let id: FoodId = words.parse().ok()?;
    own.iter().any(|process| process.food == id).then_some(id)
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

fn reply(food: Option<FoodId>, altitude: Option<Altitude>, answer: Answer) -> Reply {
    Reply {
        name: food.as_ref().and_then(foods::get).map(|food| food.name.as_str()),
        food,
        altitude: altitude.map(|altitude| altitude.to_string()),
        height: altitude,
        place: altitude.map(height).unwrap_or_default(),
        options: Vec::new(),
        household_options: Vec::new(),
        household_set_aside: Vec::new(),
        none_because: answer.none_because,
        detail: answer.detail,
        tested_instead: answer.tested_instead,
        suggestions: answer.suggestions,
        cautions: CAUTIONS,
    }
}

/// Answers a question; of one with open parts everything that is listed for the food, in the household's own kinds of
/// canner first.
fn answer(asked: &Asked, own: &[HouseholdProcess], kinds: &[Method], gauge: Option<&Gauge>) -> Reply {
    let mut reply = reply(Some(asked.food.clone()), Some(asked.altitude), look_up(&asked.nearest(), own));
    reply.tested_instead.sort_by_key(|other| !kinds.contains(&other.method));
    let mut questions = asked.questions();
    questions.sort_by_key(|question| !kinds.contains(&question.method));
    for question in questions {
        // A steam canner takes the rows of boiling water: they are not said twice to somebody who has none.
        if asked.method.is_none() && question.method == Method::Steam && !kinds.contains(&Method::Steam) {
            continue;
        }
        let mut answer = look_up(&question, own);
        if asked.jar.is_none() {
            answer.options.retain(|option| option.as_jar.is_none());
        }
        let shown = |process: TestedProcess| ProcessShown {
            dial_target_psi: gauge.and_then(|gauge| gauge.target(process.psi?)),
            process,
            pack: question.pack,
            jar: question.size,
            method: question.method,
        };
        reply.options.extend(answer.options.into_iter().map(shown));
        reply.household_options.extend(answer.household_options.into_iter().map(shown));
        reply.household_set_aside.extend(answer.household_set_aside.into_iter().map(shown));
    }
    if !reply.options.is_empty() {
        reply.none_because = None;
        reply.tested_instead.clear();
        if !asked.is_whole() {
            reply.detail =
                "Each line is a whole process: never the minutes of one with the pressure of another."
                    .to_owned();
        }
    }
    reply
}

fn show(reply: Reply, gauge: Option<&Gauge>, units: Units, screen: &mut Screen) -> Result<(), Failure> {
    if screen.json() {
        return screen.answer(&reply);
    }
    let names = |shown: &ProcessShown| (shown.pack, shown.jar, shown.method);
    let one = reply.options.first().or(reply.household_options.first()).map(names);
    let processes = reply.options.iter().chain(&reply.household_options).chain(&reply.household_set_aside);
    let all_one = processes.map(names).all(|names| Some(names) == one);
    if let (Some(name), true) = (reply.name, one.is_some()) {
        screen.say(name);
    }
    if let (Some((pack, jar, method)), true) = (one, all_one) {
        let place = &reply.place;
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
    let instead = tested_instead(&reply);
    if !instead.is_empty() {
        screen.say(format!("Tested at {} instead:", reply.place));
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

/// The processes of everything tested instead of what was asked for.
fn tested_instead(reply: &Reply) -> Vec<ProcessShown> {
    let (Some(food), Some(altitude)) = (&reply.food, reply.height) else { return Vec::new() };
    let mut instead = Vec::new();
    for &Alternative { pack, size, method } in &reply.tested_instead {
        let question = ProcessQuestion { food: food.clone(), pack, size, method, altitude };
        instead.extend(look_up(&question, &[]).options.into_iter().map(|process| ProcessShown {
            dial_target_psi: None,
            process,
            pack,
            jar: size,
            method,
        }));
    }
    instead
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
