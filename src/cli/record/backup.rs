use std::path::PathBuf;

use crate::cli::arguments::whole_number::whole;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::talk::progress::Progress;
use crate::cli::talk::screen::Screen;
use crate::ledger::copies::backup::Target;
use crate::ledger::copies::copy::Extent;
use crate::ledger::error::LedgerError;
use crate::values::names::counted::{counted, jars};
use crate::values::time::on_screen;

/// Copy the ledger, verify the copy, and keep the newest few
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    /// A folder to put the backup in, or a new file; without it, a folder beside the ledger
    to: Option<PathBuf>,
    /// How many backups stay in the folder
    #[arg(long, value_name = "N", default_value_t = 10, allow_negative_numbers = true, value_parser = whole(1..=10_000_u32))]
    keep: u32,
}

#[derive(serde::Serialize)]
struct Answer<'a> {
    file: String,
    #[serde(flatten)]
    extent: &'a Extent,
    removed: Vec<String>,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let target = match args.to {
        None => Target::Beside,
        Some(to) if to.is_dir() => Target::Folder(to),
        Some(to) => Target::File(to),
    };
    let progress = Progress::begin(screen, "backing up");
    let made = ctx.open()?.backup(&target, args.keep as usize, ctx.clock);
    drop(progress);
    let made = match made {
        Err(error @ LedgerError::Exists(_)) => {
            return Err(Failure::new(
                Code::Refused,
                error.to_string(),
                "name a folder, or a file that is new",
            ));
        }
        outcome => outcome?,
    };
    if screen.json() {
        return screen.answer(&Answer {
            file: made.file.display().to_string(),
            extent: &made.extent,
            removed: made.removed.iter().map(|file| file.display().to_string()).collect(),
        });
    }
    screen.say(format!("Backed up {}, verified, to {}.", in_words(&made.extent), made.file.display()));
    for file in &made.removed {
        screen.say(format!("Removed the older backup {}.", file.display()));
    }
    screen.next(format!("`jarledger restore {}` brings it back", made.file.display()));
    Ok(())
}

/// What a ledger holds, in words.
pub(in crate::cli) fn in_words(extent: &Extent) -> String {
    let entries = counted(extent.entries, "entry", "entries");
    let jars = jars(extent.jars);
    match extent.last_entry {
        Some(day) => format!("{entries} (the last on {}), {jars}", on_screen::day(day)),
        None => format!("{entries}, {jars}"),
    }
}
