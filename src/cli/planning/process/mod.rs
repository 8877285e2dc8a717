//! `process`: tested processes, looked up, listed and added.
//!
//! May use: arguments, kitchen, talk, answers, ledger, paper, rules, tables, values.

mod add;
pub(in crate::cli) mod args;
mod find;
pub(in crate::cli) mod household;
mod list;
mod numbered;
mod own;

use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::screen::Screen;
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::named::taken_from;
use args::{Add, Args};
use household::{ledger_if_any, units};

pub(in crate::cli) fn run(mut args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    if !args.words.is_empty() {
        args.food = Some(food_named(&mut args));
    }
    match args.add {
        Some(Add::Add(add)) => add::run(*add, ctx, screen),
        None if args.own => {
            let ledger = ctx.open()?;
            own::show(&ledger.household_processes()?, ledger.units()?, screen)
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
