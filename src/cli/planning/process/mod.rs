//! `process`: tested processes, looked up, listed and added.
//!
//! May use: arguments, kitchen, talk, answers, ledger, paper, rules, tables, values.

use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::{Asker, Question, parsed};
use crate::cli::talk::screen::Screen;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::rules::process::household::HouseholdProcess;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Method, Pack};
use crate::values::measures::altitude::Altitude;
use crate::values::measures::units::Units;
use crate::values::names::name::Name;
use crate::values::names::named::taken_from;

mod add;
mod find;
mod list;
mod numbered;

/// Find the tested process for a food, jar and altitude
///
/// Give all of --food, --pack, --jar and a canner for one answer, or fewer for everything that is tested.
/// A process is never worked out from another: no row means no tested process.
#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(in crate::cli) struct Args {
    #[command(subcommand)]
    add: Option<Add>,
    /// The food, by its key or in everyday words
    #[arg(value_name = "FOOD", conflicts_with_all = ["food", "own"])]
    words: Vec<String>,
    /// The same
    #[arg(long)]
    food: Option<String>,
    /// How it goes into the jar: hot or raw
    #[arg(long)]
    pack: Option<Pack>,
    /// The jar: half-pint, pint, quart or half-gallon
    #[arg(long, value_name = "SIZE", value_parser = JarSize::read)]
    jar: Option<JarSize>,
    /// The kind of canner: pressure-dial, pressure-weighted, boiling-water or steam
    #[arg(long, conflicts_with = "canner")]
    method: Option<Method>,
    /// One of your canners, with what its gauge is known to read
    #[arg(long, value_name = "NAME")]
    canner: Option<Name>,
    /// Height above sea level, such as 850ft or 260m [default: the kitchen's]
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    altitude: Option<Altitude>,
    /// The whole table, or all of it that fits the other options
    #[arg(long)]
    all: bool,
    /// The processes you added
    #[arg(long, conflicts_with_all = ["all", "food", "pack", "jar", "method", "canner", "altitude"])]
    own: bool,
}

#[derive(Debug, clap::Subcommand)]
enum Add {
    /// Add a process of your own, from a publication of yours
    ///
    /// It is never called tested: no table here confirms it. It counts for loads put up from today, and lifts no hold.
    /// It is refused where it asks for less than the tables do for the same food; a food of the tables goes by its key.
    Add(Box<add::Args>),
}

pub(in crate::cli) fn run(mut args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    if !args.words.is_empty() {
        args.food = Some(food_named(&mut args));
    }
    match args.add {
        Some(Add::Add(add)) => add::run(*add, ctx, screen),
        None if args.own => {
            let ledger = ctx.open()?;
            list::own(&ledger.household_processes()?, ledger.units()?, screen)
        }
        None if args.all => list::all(&args, units(ledger_if_any(ctx)?.as_ref())?, screen),
        None => find::run(args, ctx, screen),
    }
}

/// The food that the words name, without the size, the pack and the kind of canner among them, which are what the options
/// say that are not given.
fn food_named(args: &mut Args) -> String {
    let typed = args.words.join(" ");
    let lower = typed.to_lowercase();
    let mut words: Vec<&str> = lower.split_whitespace().collect();
    // A word alone, such as `hot`, may be of the food's name.
    let is_phrase = |text: &str| text.contains([' ', '-']);
    let pack =
        taken_from(&mut words, |text| text.parse().ok().filter(|_| args.pack.is_none() && is_phrase(text)));
    let names_canner = args.method.is_some() || args.canner.is_some();
    let method =
        taken_from(&mut words, |text| text.parse().ok().filter(|_| !names_canner && is_phrase(text)));
    let size = if args.jar.is_none() { JarSize::taken_from(&mut words) } else { None };
    // `corn in pints`.
    while words.last() == Some(&"in") {
        words.pop();
    }
    if words.is_empty() {
        return typed;
    }
    let food = words.join(" ");
    (args.pack, args.method, args.jar) = (args.pack.or(pack), args.method.or(method), args.jar.or(size));
    food
}

/// The ledger, if there is one: the published tables are there without it.
fn ledger_if_any(ctx: &Context) -> Result<Option<Ledger>, Failure> {
    match Ledger::open(&ctx.path) {
        Ok(ledger) => Ok(Some(ledger)),
        Err(LedgerError::NoLedger(_)) => Ok(None),
        Err(error) => Err(error.into()),
    }
}

/// The measures the household reads first; US ones without a ledger.
fn units(ledger: Option<&Ledger>) -> Result<Units, Failure> {
    Ok(ledger.map_or(Ok(Units::Us), Ledger::units)?)
}

/// The household's own processes, if there is a ledger.
fn own_processes(ledger: Option<&Ledger>) -> Result<Vec<HouseholdProcess>, Failure> {
    Ok(ledger.map(Ledger::household_processes).transpose()?.unwrap_or_default())
}

/// The altitude given, else the kitchen's, else the answer to a question.
pub(in crate::cli) fn altitude(
    given: Option<Altitude>,
    ledger: Option<&Ledger>,
    asker: &Asker,
) -> Result<Altitude, Failure> {
    let kitchen = match ledger.map(Ledger::household) {
        Some(Ok(household)) => Some(household.altitude),
        Some(Err(LedgerError::NotFound(_))) | None => None,
        Some(Err(error)) => return Err(error.into()),
    };
    asker.need(
        given.or(kitchen),
        Question {
            ask: "How high above sea level is the kitchen?",
            flag: "--altitude HEIGHT",
            help: "With its unit, such as 850ft or 260m",
            default: None,
        },
        parsed,
    )
}
