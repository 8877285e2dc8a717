use serde::Serialize;

use crate::answers::acts::{Acting, say_chilled};
use crate::cli::arguments::acting::JarsAndWhen;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::screen::Screen;
use crate::ledger::jar::event::Particulars;
use crate::rules::jar::jar_state::Act;
use crate::rules::jar::opened::{KeepingTime, chilled_unsealed};
use crate::values::names::name::Name;

/// Put jars that did not seal, or whose load failed, into the refrigerator while there is time
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(flatten)]
    jars: JarsAndWhen,
    /// Which refrigerator
    #[arg(long, value_name = "PLACE")]
    to: Option<Name>,
}

#[derive(Serialize)]
struct More {
    keeps: KeepingTime,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let (done, ()) = args.jars.let_happen(Act::Chill, ctx, screen, |_, _| {
        let particulars = Particulars { place: args.to.clone(), ..Particulars::default() };
        Ok((Acting { particulars, ..Acting::plain("chilled") }, ()))
    })?;
    if screen.json() {
        return screen.answer(&done.answer(More { keeps: chilled_unsealed() }));
    }
    done.say("Chilled", screen);
    say_chilled(&done, screen);
    screen.next(format!("`jarledger finish {}` when it is eaten up", done.jar_or_word()));
    Ok(())
}
