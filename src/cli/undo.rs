use super::context::Context;
use super::errors::Failure;
use super::screen::Screen;
use super::whole_number::whole;
use crate::ledger::{EntryId, Undone};

/// Take back an entry: the newest one in force, or the one given; of an undo, bring back what it took
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The entry's number in `history`
    #[arg(allow_negative_numbers = true, value_parser = whole(1..=i64::MAX))]
    entry: Option<i64>,
}

#[derive(serde::Serialize)]
struct Answer {
    entry: EntryId,
    #[serde(flatten)]
    undone: Undone,
}

pub(super) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open_to_write()?;
    let written = ledger.write("undo", ctx.clock, |write| {
        let undone = write.undo(args.entry.map(EntryId))?;
        let summary = format!(
            "entry {} {}: {}",
            undone.facts_of.0,
            if undone.in_force { "brought back" } else { "taken back" },
            undone.summary
        );
        Ok((undone, summary))
    })?;
    let (entry, undone) = (written.entry, written.outcome);
    if screen.json() {
        return screen.answer(&Answer { entry, undone });
    }
    screen.say(format!(
        "{} entry {}, {}: {}.",
        if undone.in_force { "Brought back" } else { "Took back" },
        undone.facts_of.0,
        undone.command,
        undone.summary
    ));
    screen.next(format!("`jarledger undo {}` reverses this", entry.0));
    Ok(())
}
