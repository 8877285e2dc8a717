//! Answers a shell that asks what could follow on the line.
//!
//! May use: ledger, paper, rules, tables, values.
//!
//! Whatever goes wrong, there is nothing to offer: no word, no error, and the ledger as it was.

use std::ffi::{OsStr, OsString};
use std::process::ExitCode;
use std::sync::Arc;

use clap_complete::env::Shells;
use clap_complete::{ArgValueCompleter, CompleteEnv};

use crate::cli::help::completions::ASKED_BY;
use crate::ledger::entry::names_in_use::Named;
use line::Line;
use offers::Offers;

mod line;
mod offers;

/// Answers by the tree of the commands that `tree` makes, if it is a shell that asks.
pub(in crate::cli) fn answer(args: &[OsString], tree: fn() -> clap::Command) -> Option<ExitCode> {
    let asked = std::env::var(ASKED_BY).ok()?;
    Shells::builtins().completer(&asked)?;
    // Words come as they are typed, with their quotes; the engine would take those for part of the name.
    let args: Vec<OsString> = args.iter().map(|arg| line::unquoted(arg)).collect();
    let line = Arc::new(Line::read(&args, &asked));
    let tree = || with_offers(tree(), &line);
    let here = std::env::current_dir().ok();
    // A completion has nowhere to report an error.
    let _ = CompleteEnv::with_factory(tree).try_complete(args, here.as_deref());
    Some(ExitCode::SUCCESS)
}

/// Lets every argument of the tree that names something known offer it.
fn with_offers(command: clap::Command, line: &Arc<Line>) -> clap::Command {
    let command = command.mut_args(|arg| match offers(&arg) {
        Some(offers) => {
            let line = Arc::clone(line);
            arg.add(ArgValueCompleter::new(move |typed: &OsStr| {
                typed.to_str().map(|typed| offers.made(&line, typed)).unwrap_or_default()
            }))
        }
        None => arg,
    });
    command.mut_subcommands(|sub| with_offers(sub, line))
}

/// What an argument may be offered, by the name of its value or its own.
fn offers(arg: &clap::Arg) -> Option<Offers> {
    let value = arg.get_value_names().and_then(|names| names.first()).map_or("", |name| name.as_str());
    Some(match (value, arg.get_id().as_str()) {
        ("JAR", _) => Offers::Jars,
        ("JAR|BATCH|LOAD", _) => Offers::JarsAndLoads,
        ("BATCH", _) | (_, "batch") => Offers::Batches,
        ("LOAD", _) | (_, "load") => Offers::Loads,
        ("PLACE", _) | (_, "place") => Offers::Names(Named::Place),
        ("WHO", _) => Offers::Names(Named::Person),
        (_, "product") => Offers::Names(Named::Product),
        (_, "canner") => Offers::Names(Named::Canner),
        (_, "lid_lot") => Offers::Names(Named::LidLot),
        (_, "ingredient_lot") => Offers::Names(Named::IngredientLot),
        (_, "sheet") => Offers::Sheets,
        ("FOOD", _) | (_, "food") => Offers::Foods,
        ("SIGN", _) => Offers::Signs,
        ("SIZE", _) => Offers::Sizes,
        (_, "method") => Offers::Methods,
        (_, "pack") => Offers::Packs,
        (_, "acidity") => Offers::Acidities,
        _ => return None,
    })
}
