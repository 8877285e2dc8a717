//! `jarledger` alone: what is due today, or how to begin.

use serde::Serialize;

use crate::answers::shelf::today::Today;
use crate::cli::context::Context;
use crate::cli::eating::eat::words::{say_decisions, say_jars};
use crate::cli::errors::Failure;
use crate::cli::talk::screen::Screen;
use crate::rules::jar::decide_now::Matter;
use crate::rules::spoilage::cautions::NO_RECORD;
use crate::values::names::counted::jars as counted;

/// Most jars shown of those to eat first.
const FEW: usize = 5;

#[derive(Serialize)]
struct Answer<'a> {
    ledger: String,
    exists: bool,
    #[serde(flatten)]
    today: &'a Today,
}

pub(in crate::cli) fn run(ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.path.display().to_string();
    if !ctx.path.exists() {
        return begin(ledger, screen);
    }
    let today = &Today::read(&*ctx.open()?, &ctx.instant(), ctx.clock, FEW)?;
    if screen.json() {
        return screen.answer(&Answer { ledger, exists: true, today });
    }
    let owed = today.owed;
    for run in &today.runs {
        screen.say(format!("Run {} in {}: {}", run.run, run.canner, run.say));
        if run.is_forgotten(ctx.clock.now) {
            screen.say(run.forgotten());
        }
    }
    if today.decide_now.is_empty() {
        screen.say("Nothing to decide now.");
    }
    say_decisions(&today.decide_now, screen);
    if owed > 0 {
        let shown = if owed > FEW { format!(", the first {FEW} of {owed}") } else { String::new() };
        screen.say(format!("Eat first this month{shown}:"));
        say_jars(&today.eat_first, screen)?;
        if today.eat_first.iter().any(|jar| jar.process.unrecorded) {
            screen.say(NO_RECORD.text);
        }
    }
    if today.on_hold > 0 {
        screen.say(format!("On hold, not to be eaten: {}.", counted(today.on_hold)));
    }
    if today.unrecorded > 0 {
        screen.say(format!(
            "Process not on record, low-acid or tomato: {}. Discard them unless you know their process.",
            counted(today.unrecorded)
        ));
    }
    if today.decide_now.iter().any(|due| matches!(due.matter, Matter::CheckLid | Matter::CheckLidLate)) {
        screen.next("`jarledger seal` records which lids sealed");
    }
    screen.next(
        "`jarledger eat` shows everything, with the signs to look for; `jarledger --help` lists the commands",
    );
    Ok(())
}

/// Says how to begin where there is no ledger yet.
fn begin(ledger: String, screen: &mut Screen) -> Result<(), Failure> {
    if screen.json() {
        return screen.answer(&Answer { ledger, exists: false, today: &Today::default() });
    }
    screen.say(format!("There is no ledger at {ledger} yet."));
    screen.say("Begin yours with the height of your kitchen above sea level:");
    screen.say("  jarledger setup --altitude 850ft");
    screen.say("Or look around an example first, in a file of its own:");
    screen.say("  jarledger demo --ledger example.jarledger");
    screen.say("  jarledger eat --ledger example.jarledger");
    screen.say("A year with it, from a canning day to the end of the season:");
    screen.say("  jarledger man kitchen | man -l -");
    Ok(())
}
