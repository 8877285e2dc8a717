use crate::answers::acts::take_back;
use crate::answers::recall::pulled::{all, to_tell};
use crate::answers::streamed::Streamed;
use crate::cli::arguments::whole_number::whole;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::recall::pull_sheet;
use crate::cli::talk::screen::Screen;
use crate::ledger::amend::undo::Undone;
use crate::ledger::entry::write::EntryId;
use crate::ledger::trace::traced::TracedJar;
use crate::values::codes::jar_code::JarCode;

/// Undo an entry: the newest in force that is no undo itself, or the one given; of an undo, bring back what it undid
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    /// The entry's number in `history`
    #[arg(allow_negative_numbers = true, value_parser = whole(1..=i64::MAX))]
    entry: Option<i64>,
}

#[derive(serde::Serialize)]
struct Answer<'a> {
    entry: EntryId,
    #[serde(flatten)]
    undone: &'a Undone,
    /// Every jar of the loads withheld since, also those eaten, used or given away.
    pull: Streamed<'a, TracedJar>,
    to_tell: Vec<String>,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open_to_write()?;
    let written = take_back(&ledger, args.entry.map(EntryId), ctx.clock)?;
    let (entry, undone) = (written.entry, written.outcome);
    let to_tell = to_tell(&ledger, undone.pulled.as_ref())?;
    if screen.json() {
        let pull = all(&ledger, undone.pulled.as_ref());
        return screen.answer(&Answer { entry, undone: &undone, pull, to_tell });
    }
    screen.say(format!(
        "{} entry {}, {}: {}.",
        if undone.in_force { "Brought back" } else { "Undid" },
        undone.facts_of.0,
        undone.command,
        undone.summary
    ));
    say_holds(&undone.put_on_hold, &undone.let_go, screen);
    if let Some(traced) = &undone.pulled {
        pull_sheet::show(&ledger, traced, screen)?;
        pull_sheet::warn(traced, &to_tell, screen);
    }
    screen.next(format!("`jarledger undo {}` reverses this", entry.0));
    Ok(())
}

/// Says which jars went on hold, and which came off it.
pub(super) fn say_holds(put_on_hold: &[JarCode], let_go: &[JarCode], screen: &mut Screen) {
    for (what, codes) in [("On hold now", put_on_hold), ("No longer on hold", let_go)] {
        if !codes.is_empty() {
            let codes: Vec<String> = codes.iter().map(ToString::to_string).collect();
            screen.say(format!("{what}: {}", codes.join(" ")));
        }
    }
}
