use serde::Serialize;

use crate::answers::acts::moving;
use crate::answers::near::did_you_mean;
use crate::cli::arguments::acting::{JarsAndWhen, say_undo};
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::talk::ask::{Asker, Question, parsed};
use crate::cli::talk::offers::Offers;
use crate::cli::talk::screen::Screen;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::glance::Named;
use crate::rules::jar::jar_state::Act;
use crate::values::names::everyday::meant;
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
            let to = if args.new { given.clone() } else { known_place(&given, ledger, asker)? };
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

/// The place on record that the words mean; they themselves where they mean none.
fn known_place(words: &Name, ledger: &Ledger, asker: &Asker) -> Result<Name, Failure> {
    let known = ledger.names_in_use(Named::Place)?;
    let among: Vec<String> =
        meant(words.as_str(), known.iter().map(String::as_str)).into_iter().map(str::to_owned).collect();
    let found = match &among[..] {
        [] => return Ok(words.clone()),
        [only] => only.clone(),
        _ if asker.can_ask() => {
            let question = Question { ask: "Which?", flag: "--to PLACE", help: "", default: None };
            asker.need_one_of(None, question, among, 0)?
        }
        _ => {
            let hint = format!("say which: {}; with --new it is a place of its own", among.join(", or "));
            let several = LedgerError::SeveralNames { given: words.to_string(), among };
            return Err(Failure::new(Code::NotFound, several.to_string(), hint));
        }
    };
    found.parse().map_err(|_| LedgerError::Unreadable(format!("place {found:?}")).into())
}
