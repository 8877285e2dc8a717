use serde::Serialize;

use crate::answers::acts::moving;
use crate::answers::near::did_you_mean;
use crate::cli::arguments::acting::{JarsAndWhen, say_undo};
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::{Question, parsed};
use crate::cli::talk::offers::Offers;
use crate::cli::talk::screen::Screen;
use crate::ledger::jar::glance::Named;
use crate::rules::jar::jar_state::Act;
use crate::values::names::name::Name;
use crate::values::names::near::near_names;

/// Move jars to another place
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(flatten)]
    jars: JarsAndWhen,
    /// Where to
    #[arg(long, value_name = "PLACE")]
    to: Option<Name>,
}

#[derive(Serialize)]
struct More {
    new_place: bool,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let question = Question { ask: "Where to?", flag: "--to PLACE", help: "", default: None };
    let (done, (to, new_place, near)) = args.jars.let_happen(Act::Move, ctx, screen, |ledger, asker| {
        let places = || Ok(Offers::new(ledger.names_in_use(Named::Place)?));
        let to = asker.need_offering(args.to.clone(), question, places, parsed::<Name>)?;
        let new_place = !ledger.knows_place(&to)?;
        // Only a place nobody knows may be a slip for another.
        let known = if new_place { ledger.names_in_use(Named::Place)? } else { Vec::new() };
        let near = did_you_mean(&near_names(to.as_str(), known.iter().map(String::as_str)));
        Ok((moving(&to), (to, new_place, near)))
    })?;
    if screen.json() {
        return screen.answer(&done.answer(More { new_place }));
    }
    done.say("Moved", screen);
    if new_place {
        let near = near.map(|near| format!(" D{}", near.trim_start_matches('d'))).unwrap_or_default();
        screen.say(format!("{to} is now a new place; `jarledger undo` if it was mistyped.{near}"));
    }
    say_undo(&done, screen);
    Ok(())
}
