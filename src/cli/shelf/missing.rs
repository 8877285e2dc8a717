use serde::Serialize;

use crate::answers::acts::Acting;
use crate::cli::arguments::acting::{JarsAndWhen, say_undo};
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::screen::Screen;
use crate::rules::jar::jar_state::Act;

/// Note that jars are not where they should be, or that missing ones were found
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(flatten)]
    jars: JarsAndWhen,
    /// They were missing and are found
    #[arg(long)]
    found: bool,
}

/// Nothing is added to the jars.
#[derive(Serialize)]
struct More {}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let (act, past, said) = if args.found {
        (Act::Find, "found", "Found again:")
    } else {
        (Act::Miss, "could not find", "Missing:")
    };
    let (done, ()) = args.jars.let_happen(act, ctx, screen, |_, _| Ok((Acting::plain(past), ())))?;
    if screen.json() {
        return screen.answer(&done.answer(More {}));
    }
    done.say(said, screen);
    if !args.found {
        screen.next(format!("`jarledger missing {} --found` when it turns up", done.jar_or_word()));
    }
    say_undo(&done, screen);
    Ok(())
}
