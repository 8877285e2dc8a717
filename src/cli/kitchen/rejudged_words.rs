//! Loads checked again, in words.

use crate::answers::recall::pulled::to_tell;
use crate::cli::errors::Failure;
use crate::cli::recall::pull_sheet;
use crate::cli::talk::screen::Screen;
use crate::ledger::batch::rejudged::Rejudged;
use crate::ledger::entry::write::EntryId;
use crate::ledger::file::open::Ledger;
use crate::values::names::counted::{counted, jars};

/// Says how many loads an entry judged, whose verdict it changed, and which jars are to be pulled; of no load nothing.
pub(in crate::cli) fn show(
    ledger: &Ledger,
    entry: EntryId,
    rejudged: &Rejudged,
    screen: &mut Screen,
) -> Result<(), Failure> {
    if rejudged.loads == 0 {
        return Ok(());
    }
    screen.say(format!(
        "Checked {} again: {}.",
        counted(rejudged.loads, "load", "loads"),
        match rejudged.verdicts_changed {
            0 => "no verdict changed".to_owned(),
            some => format!("{} changed", counted(some, "verdict", "verdicts")),
        }
    ));
    screen.lines_of(|take| {
        ledger.each_rejudged(entry, |judged| {
            if !judged.is_changed() {
                return Ok(());
            }
            let was = judged.was.map_or_else(|| "not judged".to_owned(), |was| was.to_string());
            take(format!("  {}", judged.line_with(&format!(" (before: {was})"))))
        })
    })?;
    if rejudged.held > 0 {
        screen.say(format!("{} on hold now.", jars(rejudged.held)));
    }
    if !rejudged.released.is_empty() {
        let count = jars(rejudged.released.len());
        screen.say(format!("{count} released: the load now meets its process on record."));
    }
    if !rejudged.pulled.is_empty() {
        pull_sheet::show(ledger, &rejudged.pulled, screen)?;
        pull_sheet::warn(&rejudged.pulled, &to_tell(ledger, &rejudged.pulled)?, screen);
    }
    Ok(())
}
