//! Jars to be pulled, by place, and those that are gone already.

use super::screen::Screen;
use super::shelf::place;
use crate::ledger::TracedJar;
use crate::paper::table::Table;
use crate::rules::cautions::{BOTULISM, EMERGENCY, SYMPTOMS};
use crate::rules::counted::jars;
use crate::rules::jar_state::{Act, JarState};

/// Says where each jar stands, and what became of those that are gone.
pub(super) fn show(traced: &[TracedJar], screen: &mut Screen) {
    let (here, gone): (Vec<_>, Vec<_>) = traced.iter().partition(|found| found.jar.state.is_live());
    if !here.is_empty() {
        let mut table = Table::new(["Place", "Jar", "Product", "Size", "State", "Load"]);
        for found in &here {
            table.row([
                place(found.jar.place.as_deref()),
                found.jar.code.to_string(),
                found.jar.product.clone(),
                found.jar.size.to_string(),
                state_in_words(found),
                found.load.map_or_else(|| "-".to_owned(), |load| load.to_string()),
            ]);
        }
        screen.table(&table);
    }
    if !gone.is_empty() {
        screen.say(format!("{} gone already:", jars(gone.len())));
        let mut table = Table::new(["Jar", "Product", "What became of it", "When", "To whom"]);
        for found in &gone {
            let ending = found.ending.as_ref();
            table.row([
                found.jar.code.to_string(),
                found.jar.product.clone(),
                fate(found),
                ending.map_or_else(|| "-".to_owned(), |ending| ending.on.to_string()),
                ending.and_then(|ending| ending.to.clone()).unwrap_or_else(|| "-".to_owned()),
            ]);
        }
        screen.table(&table);
    }
}

/// Says what to watch for where some of the jars may have been eaten.
pub(super) fn warn(traced: &[TracedJar], screen: &mut Screen) {
    screen.say(BOTULISM.text);
    if traced.iter().any(TracedJar::may_have_been_eaten) {
        let names = to_tell(traced);
        if !names.is_empty() {
            screen.say(format!("Tell those who were given a jar not to taste it: {}.", names.join(", ")));
        }
        screen.say(SYMPTOMS.text);
        screen.say(EMERGENCY.text);
    }
}

/// The people jars were given to, each once.
pub(super) fn to_tell(traced: &[TracedJar]) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    let given =
        traced.iter().filter_map(|found| found.ending.as_ref()).filter(|ending| ending.act == Act::Give);
    for name in given.filter_map(|ending| ending.to.clone()) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

fn state_in_words(found: &TracedJar) -> String {
    if found.jar.on_hold { format!("{}, on hold", found.jar.state) } else { found.jar.state.to_string() }
}

/// What became of a jar that is gone.
fn fate(found: &TracedJar) -> String {
    let why = found.ending.as_ref().and_then(|ending| ending.why.as_deref());
    match found.jar.state {
        JarState::Finished => "eaten".to_owned(),
        JarState::Given => "given away".to_owned(),
        JarState::Discarded => "thrown away".to_owned(),
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
