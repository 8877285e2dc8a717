use crate::cli::arguments::whole_number::whole;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::screen::Screen;
use crate::ledger::entry::undo::Undone;
use crate::ledger::entry::write::EntryId;

/// Take back an entry: the newest one in force, or the one given; of an undo, bring back what it took
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
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

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
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
