use serde::Serialize;

use crate::answers::acts::moving;
use crate::answers::near::did_you_mean;
use crate::cli::arguments::acting::{JarsAndWhen, say_undo};
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::shelf::place_meant::place_meant;
use crate::cli::talk::ask::{Question, parsed};
use crate::cli::talk::offers::Offers;
use crate::cli::talk::screen::Screen;
use crate::ledger::entry::names_in_use::Named;
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
    /// Make PLACE a new place, though its words fit one on record
    #[arg(long, requires = "to")]
    new: bool,
}

#[derive(Serialize)]
struct More {
    new_place: bool,
}

pub(in crate::cli) fn run(mut args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let where_to = args.to.take().or_else(|| args.jars.taken_to());
    let question = Question { ask: "Where to?", flag: "--to PLACE", help: "", default: None };
    let (done, (given, to, new_place, near)) =
        args.jars.let_happen(Act::Move, ctx, screen, |ledger, asker| {
            let places = || Ok(Offers::new(ledger.names_in_use(Named::Place)?));
            let given = asker.need_offering(where_to.clone(), question, places, parsed::<Name>)?;
            let besides = ("--to PLACE", "; with --new it is a place of its own");
            let known = if args.new { None } else { place_meant(&given, ledger, asker, besides)? };
            let to = known.unwrap_or_else(|| given.clone());
            let new_place = !ledger.knows_place(&to)?;
            // Only a place nobody knows may be a slip for another.
            let known = if new_place { ledger.names_in_use(Named::Place)? } else { Vec::new() };
            let near = did_you_mean(&near_names(to.as_str(), known.iter().map(String::as_str)));
            Ok((moving(&to), (given, to, new_place, near)))
        })?;
    if screen.json() {
        return screen.answer(&done.answer(More { new_place }));
    }
    done.say("Moved", screen);
    if given.key() != to.key() {
        screen.say(format!("{given} was taken for {to}; with --new it is a place of its own."));
    }
    if new_place {
        let near = near.map(|near| format!(" D{}", near.trim_start_matches('d'))).unwrap_or_default();
        screen.say(format!("{to} is now a new place; `jarledger undo` if it was mistyped.{near}"));
    }
    say_undo(&done, screen);
    Ok(())
}
