//! Shows a batch just logged, from what was read back.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

use crate::answers::jars::load_lines::load_in_a_line;
use crate::answers::jars::rescue_lines::next_after;
use crate::answers::jars::sizes::in_words;
use crate::answers::jars::sizes::sizes;
use crate::answers::moments;
use crate::cli::canning_day::putup::verdicts;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::Asker;
use crate::cli::talk::screen::Screen;
use crate::ledger::batch::batch_story::LoadStory;
use crate::ledger::batch::load::Load;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::rescue::Rescue;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::time::clock::Clock;
use crate::values::time::on_screen;

#[derive(serde::Serialize)]
struct Answer<'a> {
    batch: BatchCode,
    product: &'a str,
    jars: Vec<JarCode>,
    loads: Vec<LoadAnswer<'a>>,
    seal_check_from: Option<DateTime<FixedOffset>>,
    seal_check_to: Option<DateTime<FixedOffset>>,
    on_hold: Vec<JarCode>,
    reprocessed: Vec<JarCode>,
    made_with: Vec<JarCode>,
    remarks: &'a [String],
}

#[derive(serde::Serialize)]
struct LoadAnswer<'a> {
    #[serde(flatten)]
    load: &'a LoadStory,
    seal_check_from: DateTime<FixedOffset>,
    seal_check_to: DateTime<FixedOffset>,
    rescue: Option<Rescue>,
}

/// What comes after a batch was logged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Next {
    /// Nothing that can be done right away.
    Nothing,
    /// The seals, which can be looked at already.
    Seals,
}

pub(super) fn show(
    ledger: &Ledger,
    code: BatchCode,
    emptied: &[Jar],
    remarks: &[String],
    clock: Clock,
    asker: &Asker,
    screen: &mut Screen,
) -> Result<Next, Failure> {
    let story = ledger.batch_story(code)?;
    let mut loads = Vec::new();
    for load in &story.loads {
        let held = load.jars.iter().find(|jar| jar.on_hold);
        let rescue = held.map(|jar| ledger.rescue(jar, clock.now)).transpose()?;
        loads.push((load, rescue));
    }
    // Every jar may be looked at from the last opening, and must be by the first end.
    let from = story.loads.iter().map(|of_batch| of_batch.load.seal_window().opens()).max();
    let to = story.loads.iter().map(|of_batch| of_batch.load.seal_window().due()).min();
    if screen.json() {
        screen.answer(&Answer {
            batch: code,
            product: &story.batch.product,
            jars: codes(&story.jars),
            loads: loads
                .into_iter()
                .map(|(load, rescue)| LoadAnswer {
                    load,
                    seal_check_from: load.load.seal_window().opens(),
                    seal_check_to: load.load.seal_window().due(),
                    rescue,
                })
                .collect(),
            seal_check_from: from,
            seal_check_to: to,
            on_hold: story.jars.iter().filter(|jar| jar.on_hold).map(|jar| jar.code).collect(),
            reprocessed: codes(emptied),
            made_with: codes(&story.made_with),
            remarks,
        })?;
        return Ok(Next::Nothing);
    }
    screen.say(format!(
        "{code}  {}: {}, put up {}.",
        story.batch.product,
        in_words(&sizes(&story.jars)),
        on_screen::day_in_words(story.batch.put_up)
    ));
    for (load, _) in &loads {
        screen.say(format!("{}.{}", load_in_a_line(load, clock), of_jars(&load.jars)));
    }
    for jar in &story.made_with {
        screen.say(format!("{}  used in this batch{}.", jar.code, jar.process.after_comma()));
    }
    for jar in emptied {
        screen.say(format!("{}  emptied into this batch.", jar.code));
    }
    // A load withheld is rescued or thrown away; its lids change nothing.
    let to_check: Vec<&Load> =
        loads.iter().filter(|(_, rescue)| rescue.is_none()).map(|(load, _)| &load.load).collect();
    say_window(&to_check, loads.len(), clock, screen);
    for remark in remarks {
        screen.say(format!("Note: {remark}"));
    }
    screen.say("");
    verdicts::say(&story, &loads, clock, screen);
    let is_held = loads.iter().any(|(_, rescue)| rescue.is_some());
    if asker.can_ask() && !is_held && from.is_some_and(|from| from <= clock.now) {
        return Ok(Next::Seals);
    }
    say_next(&loads, code, screen);
    Ok(Next::Nothing)
}

/// What to type next: the rescue of the loads withheld first, then the seal checks of the others.
fn say_next(loads: &[(&LoadStory, Option<Rescue>)], code: BatchCode, screen: &mut Screen) {
    let held = || loads.iter().filter_map(|(load, rescue)| Some((load, rescue.as_ref()?)));
    // The loads with the most time left.
    if let Some((_, longest)) = held().max_by_key(|(_, rescue)| rescue.until) {
        let of_those = held().filter(|(_, rescue)| rescue.until == longest.until);
        let numbers: Vec<String> = of_those.filter_map(|(load, _)| span(&load.jars)).collect();
        screen.next(next_after(&longest.remedies, &format!("{code} {}", numbers.join(","))));
    }
    let to_check = loads.iter().filter(|(_, rescue)| rescue.is_none()).flat_map(|(load, _)| &load.jars);
    let numbers: Vec<u32> = to_check.map(|jar| jar.code.number).collect();
    let Some(last) = numbers.last() else { return };
    let jars: usize = loads.iter().map(|(load, _)| load.jars.len()).sum();
    let failed = match jars {
        1 => String::new(),
        _ if numbers.contains(&3) && numbers.contains(&7) => " 3,7".to_owned(),
        _ => format!(" {last}"),
    };
    screen.next(format!(
        "after 12 hours `jarledger seal {code} --sealed`, or `jarledger seal {code} --failed{failed}`"
    ));
}

/// When to look at the lids of these loads of a batch's: once for all that came out together.
fn say_window(loads: &[&Load], of: usize, clock: Clock, screen: &mut Screen) {
    let mut by_time: BTreeMap<DateTime<FixedOffset>, Vec<&Load>> = BTreeMap::new();
    for load in loads {
        by_time.entry(load.facts.out_at).or_default().push(load);
    }
    let to_be_named = by_time.len() > 1 || loads.len() < of;
    for together in by_time.values() {
        let window = together[0].seal_window();
        let which: Vec<String> = together.iter().map(|load| load.code.to_string()).collect();
        screen.say(format!(
            "Check the seals{} from {} to {}.",
            if to_be_named { format!(" of {}", which.join(", ")) } else { String::new() },
            moments::in_words(window.opens(), clock),
            moments::in_words(window.due(), clock)
        ));
    }
}

/// The numbers of a load's jars, which follow one another.
fn span(jars: &[Jar]) -> Option<String> {
    let (first, last) = (jars.first()?.code.number, jars.last()?.code.number);
    Some(if first == last { first.to_string() } else { format!("{first}-{last}") })
}

/// The codes of a load's jars: the first and the last of many.
fn of_jars(jars: &[Jar]) -> String {
    match jars {
        [] => String::new(),
        [only] => format!(" Jar {}.", only.code),
        [first, .., last] => format!(" Jars {} to {}.", first.code, last.code),
    }
}

fn codes(jars: &[Jar]) -> Vec<JarCode> {
    jars.iter().map(|jar| jar.code).collect()
}
