//! `eat`: what to decide on now, and what to eat first.
//!
//! May use: arguments, talk, answers, paper, rules, tables, values.

use crate::answers::eating::eat::Answer;
use crate::cli::arguments::whole_number::whole;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::screen::Screen;
use crate::values::time::clock::Clock;
use crate::values::time::month::Month;

pub(in crate::cli) mod words;

/// Show what to decide now, then which jars to eat first
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    /// The jars of this month's plan instead of the current one's, as YYYY-MM
    #[arg(long, value_name = "MONTH")]
    month: Option<Month>,
    /// Also how many jars of each product in the months after the current one
    #[arg(long, value_name = "MONTHS", default_value_t = 0, allow_negative_numbers = true, value_parser = whole(0..=1200_u32))]
    ahead: u32,
    /// All the signs of spoilage in full, instead of a word each
    #[arg(long)]
    signs: bool,
}

impl Args {
    /// What `eat` is asked where nothing more is said.
    pub(in crate::cli) const fn this_month() -> Self {
        Self { month: None, ahead: 0, signs: false }
    }
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let month = month(args.month, ctx.clock)?;
    let answer = Answer::read(&*ctx.open()?, ctx.clock, month, args.ahead)?;
    if screen.json() {
        return screen.answer(&answer);
    }
    words::say(&answer, args.ahead > 0, args.signs, screen)
}

/// The month asked for, which is not over yet.
fn month(given: Option<Month>, clock: Clock) -> Result<Month, Failure> {
    let current = Month::of(clock.today());
    match given {
        Some(month) if month < current => Err(Failure::usage(
            format!("{month} is over: what is left on the shelf is eaten from {current} on"),
            "leave --month out, or name a month to come",
        )),
        given => Ok(given.unwrap_or(current)),
    }
}
