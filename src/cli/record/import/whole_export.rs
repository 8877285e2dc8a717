//! A whole export, which makes a ledger of its own.

use std::path::Path;

use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::record::backup::in_words as in_words_of;
use crate::cli::record::check::unreadable_sheets;
use crate::cli::record::import::args::Args;
use crate::cli::record::import::refused::refused;
use crate::cli::talk::progress::Progress;
use crate::cli::talk::screen::Screen;
use crate::exchange::problem::{Problem, Problems};
use crate::exchange::whole::whole_in::read_whole;
use crate::ledger::copies::copy::Extent;
use crate::ledger::copies::restore::look_at;
use crate::ledger::copies::restore::restore;
use crate::ledger::file::create::make_folder;
use crate::ledger::file::new_file::{NewFile, folder_of};
use crate::ledger::file::open::Ledger;
use crate::ledger::file::saved::in_place;

/// What a trial would be called, were it ever given its name.
const DRY_RUN: &str = "jarledger-dry-run";

#[derive(serde::Serialize)]
struct WholeAnswer<'a> {
    file: String,
    dry_run: bool,
    #[serde(flatten)]
    extent: &'a Extent,
    replaced: Option<String>,
}

/// Makes the ledger anew from an export. Where there is one, it must not hold anything but the
/// kitchen's settings, and it is kept beside the new one.
pub(super) fn take_whole(
    file: &Path,
    args: &Args,
    ctx: &Context,
    screen: &mut Screen,
) -> Result<(), Failure> {
    let shown = file.display().to_string();
    let there = match ctx.open() {
        Ok(ledger) if ledger.is_bare()? => true,
        Ok(_) => {
            return Err(Failure::new(
                Code::Refused,
                format!("{} has jars or canners already; nothing was imported", ctx.path.display()),
                "a whole export makes a ledger of its own: name a new file with --ledger FILE",
            ));
        }
        Err(failure) if failure.code == Code::NotFound => false,
        Err(failure) => return Err(failure),
    };
    let progress = Progress::begin(screen, "importing");
    let new = if args.dry_run && !folder_of(&ctx.path).exists() {
        // A trial makes no folders: it is read beside other passing things.
        NewFile::begin(&std::env::temp_dir().join(DRY_RUN))?
    } else {
        make_folder(folder_of(&ctx.path))?;
        NewFile::begin(&ctx.path)?
    };
    let mut read = read_whole(file, args.raw, &new)?;
    if read.is_ok() {
        let mut problems = Problems::default();
        for what in unreadable_sheets(&Ledger::open(new.temp())?) {
            problems.add(Problem::of_file(what));
        }
        read = if problems.is_empty() { Ok(()) } else { Err(problems) };
    }
    drop(progress);
    read.map_err(|problems| refused(&shown, &problems, None, screen))?;
    let extent = look_at(new.temp())?;
    let mut replaced = None;
    if !args.dry_run {
        if there {
            replaced = restore(new.temp(), &ctx.path, ctx.clock)?.replaced;
        } else {
            new.take_new_name()?;
            in_place(&ctx.path);
        }
    }
    let replaced = replaced.map(|file| file.display().to_string());
    if screen.json() {
        return screen.answer(&WholeAnswer { file: shown, dry_run: args.dry_run, extent: &extent, replaced });
    }
    let verb = if args.dry_run { "Would make" } else { "Made" };
    screen.say(format!("{verb} the ledger {} from {shown}: {}.", ctx.path.display(), in_words_of(&extent)));
    if let Some(replaced) = replaced {
        screen.say(format!("What was there before is kept in {replaced}."));
    }
    Ok(())
}
