//! Jars to be pulled, by place, and those that are gone already.

use crate::cli::errors::Failure;
use crate::cli::talk::place::place;
use crate::cli::talk::screen::Screen;
use crate::ledger::file::open::Ledger;
use crate::ledger::trace::traced::{Traced, TracedJar};
use crate::paper::text::table::{Table, unbroken};
use crate::rules::jar::jar_state::JarState;
use crate::rules::spoilage::cautions::{BOTULISM, EMERGENCY, SYMPTOMS};
use crate::values::names::counted::jars;
use crate::values::time::on_screen;

/// Says where each jar stands, and what became of those that are gone.
pub(in crate::cli) fn show(ledger: &Ledger, traced: &Traced, screen: &mut Screen) -> Result<(), Failure> {
    let here = traced.in_house();
    if here > 0 {
        let table = Table::new(["Place", "Jar", "Product", "Size", "State", "Load"]);
        screen.table_of(table, |take| {
            ledger.each_traced(traced, 0..here, |found| {
                take([
                    place(found.jar.place.as_deref()),
                    found.jar.code.to_string(),
                    found.jar.product.clone(),
                    found.jar.size.to_string(),
                    state_in_words(&found),
                    found.load.map_or_else(|| "-".to_owned(), |load| load.to_string()),
                ])
            })
        })?;
    }
    if here < traced.len() {
        screen.say(format!("{} gone already:", jars(traced.len() - here)));
        let table = Table::new(["Jar", "Product", "Outcome", "When", "To whom"]);
        screen.table_of(table, |take| {
            ledger.each_traced(traced, here..traced.len(), |found| {
                let ending = found.ending.as_ref();
                take([
                    found.jar.code.to_string(),
                    found.jar.product.clone(),
                    format!("{}{}", fate(&found), found.jar.process.after_comma()),
                    ending.map_or_else(|| "-".to_owned(), |ending| unbroken(&on_screen::day(ending.on))),
                    ending.and_then(|ending| ending.to.clone()).unwrap_or_else(|| "-".to_owned()),
                ])
            })
        })?;
    }
    Ok(())
}

/// Says what to watch for where some of the jars may have been eaten.
pub(in crate::cli) fn warn(traced: &Traced, to_tell: &[String], screen: &mut Screen) {
    screen.say(BOTULISM.text);
    if traced.may_have_been_eaten() {
        if !to_tell.is_empty() {
            screen.say(format!("Tell those who were given a jar not to taste it: {}.", to_tell.join(", ")));
        }
        screen.say(SYMPTOMS.text);
        screen.say(EMERGENCY.text);
    }
}

fn state_in_words(found: &TracedJar) -> String {
    let held = if found.jar.on_hold { ", on hold" } else { "" };
    format!("{}{held}{}", found.jar.state, found.jar.process.after_comma())
}

/// What became of a jar that is gone.
fn fate(found: &TracedJar) -> String {
    let why = found.ending.as_ref().and_then(|ending| ending.why.as_deref());
    match found.jar.state {
        JarState::Finished => "eaten".to_owned(),
        JarState::Given => "given away".to_owned(),
        JarState::Discarded => "thrown away".to_owned(),
        JarState::Used => "used in another batch".to_owned(),
        JarState::Reprocessed => format!("reprocessed {}", why.unwrap_or_default()).trim_end().to_owned(),
        JarState::Cooling
        | JarState::Sealed
        | JarState::Unsealed
        | JarState::Chilled
        | JarState::Frozen
        | JarState::Opened
        | JarState::Missing
        | JarState::Void => "-".to_owned(),
    }
}
