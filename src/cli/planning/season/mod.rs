//! `season`: what to put up so that it lasts, or whether one product will.
//!
//! May use: talk, answers, ledger, paper, rules, values.

mod on_hand;
pub(in crate::cli) mod show;

use std::collections::HashMap;

use chrono::NaiveDate;

use crate::answers::eating::season::answer::Answer;
use crate::answers::eating::season::asked::Asked;
use crate::answers::near::did_you_mean;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::talk::screen::Screen;
use crate::ledger::counts::appetite::Appetite;
use crate::ledger::entry::names::one_meant;
use crate::rules::eating::sureness::Sureness;
use crate::rules::eating::what_if::WhatIf;
use crate::values::names::name::Name;
use crate::values::names::near::near_names;
use crate::values::time::civil_day::{add_months, parse_day};
use crate::values::time::on_screen;

/// Longest time a plan looks ahead: five years.
const LONGEST_DAYS: i64 = 5 * 366;

/// Plan how many jars to put up so that they last until the next season, or ask whether one product will last
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    /// Only the product that these words name: will it last?
    #[arg(value_name = "WORDS")]
    words: Vec<String>,
    /// The day the next season's jars are there [default: a year from today]
    #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
    until: Option<String>,
    /// How sure the jars should be to last, from 0.5 to 0.999
    #[arg(long, value_name = "SHARE", default_value_t)]
    sure: Sureness,
    /// A change of appetite to try out, such as "green beans=+20%"; may be given again
    #[arg(long, value_name = "PRODUCT=CHANGE", value_parser = what_if)]
    what_if: Vec<(Name, WhatIf)>,
    /// Empty jars and lids counted, such as quart:12,pint:30,lids:48
    #[arg(long, value_name = "KIND:COUNT", value_delimiter = ',', value_parser = on_hand::item)]
    on_hand: Vec<on_hand::Item>,
}

fn what_if(given: &str) -> Result<(Name, WhatIf), String> {
    let (product, change) =
        given.rsplit_once('=').ok_or("write a product and a change, such as pears=+20%")?;
    let product = product.parse::<Name>().map_err(|error| error.to_string())?;
    Ok((product, change.parse::<WhatIf>().map_err(|error| error.to_string())?))
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let today = ctx.clock.today();
    let until = until(args.until.as_deref(), today)?;
    let ledger = ctx.open()?;
    let answer = ledger.at_one_moment(|ledger| {
        let appetites = ledger.appetites(today)?;
        let asked = Asked {
            today,
            until,
            sure: args.sure,
            product: product(&args.words.join(" "), &appetites)?,
            changes: &changes(args.what_if, &appetites)?,
            on_hand: &on_hand::all(&args.on_hand),
        };
        Ok::<_, Failure>(Answer::read(ledger, &appetites, &asked)?)
    })?;
    if screen.json() {
        return screen.answer(&answer);
    }
    show::show(&answer, today, ledger.units()?, screen);
    Ok(())
}

/// The one product that the words name; none where there are no words.
fn product<'a>(words: &str, appetites: &'a [Appetite]) -> Result<Option<&'a str>, Failure> {
    if words.trim().is_empty() {
        return Ok(None);
    }
    let names = || appetites.iter().map(|appetite| &appetite.product[..]);
    match one_meant(words, names())? {
        Some(product) => Ok(Some(product)),
        None => {
            let near = near_names(words, names());
            let hint = did_you_mean(&near).unwrap_or_else(|| "`jarledger season` shows every product".into());
            Err(Failure::new(Code::NotFound, format!("no product is called \u{201c}{words}\u{201d}"), hint))
        }
    }
}

fn until(given: Option<&str>, today: NaiveDate) -> Result<NaiveDate, Failure> {
    let Some(given) = given else { return Ok(add_months(today, 12)) };
    let until = parse_day(given, today)
        .map_err(|error| Failure::usage(error.to_string(), "such as --until 2027-08-01"))?;
    if (1..=LONGEST_DAYS).contains(&(until - today).num_days()) {
        return Ok(until);
    }
    Err(Failure::usage(
        format!("{} is not within the five years after {}", on_screen::day(until), on_screen::day(today)),
        "give the day the next season's jars are there, such as --until 2027-08-01",
    ))
}

/// The changes by product; each must be one the ledger knows.
fn changes(given: Vec<(Name, WhatIf)>, appetites: &[Appetite]) -> Result<HashMap<String, WhatIf>, Failure> {
    let key = |product: &str| product.parse::<Name>().map_or_else(|_| product.to_owned(), |name| name.key());
    let known: HashMap<String, &str> =
        appetites.iter().map(|appetite| (key(&appetite.product), &appetite.product[..])).collect();
    given
        .into_iter()
        .map(|(name, change)| match known.get(&name.key()) {
            Some(&product) => Ok((product.to_owned(), change)),
            None => {
                let names: Vec<&str> = appetites.iter().map(|appetite| &appetite.product[..]).collect();
                let message = format!("no product \u{201c}{name}\u{201d} was ever put up");
                let near = near_names(name.as_str(), names.iter().copied());
                let hint = did_you_mean(&near).unwrap_or_else(|| format!("there is {}", names.join(", ")));
                Err(Failure::new(Code::NotFound, message, hint))
            }
        })
        .collect()
}
