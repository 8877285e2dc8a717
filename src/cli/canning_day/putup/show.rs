//! Shows a batch just logged, from what was read back.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

use crate::answers::jars::load_lines::say_load;
use crate::answers::jars::rescue_lines::{next_after, say_rescue};
use crate::answers::jars::sizes::in_words;
use crate::answers::jars::sizes::sizes;
use crate::answers::moments;
use crate::cli::errors::Failure;
use crate::cli::talk::screen::Screen;
use crate::ledger::batch::batch_story::LoadStory;
use crate::ledger::batch::load::Load;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::rescue::Rescue;
use crate::rules::food::care::Care;
use crate::rules::spoilage::cautions;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::time::clock::Clock;

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

pub(super) fn show(
    ledger: &Ledger,
    code: BatchCode,
    emptied: &[Jar],
    remarks: &[String],
    clock: Clock,
    screen: &mut Screen,
) -> Result<(), Failure> {
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
        return screen.answer(&Answer {
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
        });
    }
    screen.say(format!(
        "{code}  {}: {}, put up {}.",
        story.batch.product,
        in_words(&sizes(&story.jars)),
        moments::day_in_words(story.batch.put_up)
    ));
    for (load, rescue) in &loads {
        screen.say("");
        say_load(load, &story.batch, clock, screen);
        let codes: Vec<String> = load.jars.iter().map(|jar| jar.code.to_string()).collect();
        screen.say(format!("  Jars: {}", codes.join(" ")));
        if let Some(rescue) = rescue {
            screen.say("  Every jar of it is on hold.");
            say_rescue(rescue, "  ", clock, screen);
        }
    }
    // A load withheld is rescued or thrown away; its lids tell nothing more.
    let to_check: Vec<&Load> =
        loads.iter().filter(|(_, rescue)| rescue.is_none()).map(|(load, _)| &load.load).collect();
    if !(emptied.is_empty() && story.made_with.is_empty() && to_check.is_empty() && remarks.is_empty()) {
        screen.say("");
    }
    for jar in &story.made_with {
        screen.say(format!("{}  used in this batch{}.", jar.code, jar.process.after_comma()));
    }
    for jar in emptied {
        screen.say(format!("{}  emptied into this batch.", jar.code));
    }
    say_window(&to_check, loads.len(), clock, screen);
    for remark in remarks {
        screen.say(format!("Note: {remark}"));
    }
    if loads.iter().any(|(_, rescue)| rescue.is_some()) {
        screen.say("");
        if Care::of(story.batch.food.as_ref(), &story.batch.product) == Care::LowAcid {
            screen.say(cautions::BOTULISM.text);
        }
        screen.say(cautions::ASK.text);
    }
    say_next(&loads, code, screen);
    Ok(())
}

/// What to type next: the rescue of the loads withheld first, then the seal checks of the others.
fn say_next(loads: &[(&LoadStory, Option<Rescue>)], code: BatchCode, screen: &mut Screen) {
    let rescues = loads.iter().filter_map(|(load, rescue)| load.jars.first().zip(rescue.as_ref()));
    // The load with the most time left.
    if let Some((jar, rescue)) = rescues.max_by_key(|(_, rescue)| rescue.until) {
        screen.next(next_after(&rescue.remedies, jar.code));
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
        by_time.entry(load.out_at).or_default().push(load);
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

fn codes(jars: &[Jar]) -> Vec<JarCode> {
    jars.iter().map(|jar| jar.code).collect()
}
