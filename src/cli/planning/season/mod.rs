//! `season`: gathers appetite, stock and past loads, and reckons the jars to put up.

mod answer;
mod on_hand;
mod show;

use std::collections::{BTreeMap, HashMap};

use chrono::NaiveDate;

use answer::{Answer, Line, Totals};
use on_hand::OnHand;

use crate::answers::near::did_you_mean;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::talk::screen::Screen;
use crate::ledger::batch::last_load::LastLoad;
use crate::ledger::counts::appetite::Appetite;
use crate::ledger::file::open::Ledger;
use crate::rules::eating::season::{expected_use, still_good};
use crate::rules::eating::season_work::{Pattern, work};
use crate::rules::eating::sureness::Sureness;
use crate::rules::eating::what_if::WhatIf;
use crate::values::kinds::jar_size::JarSize;
use crate::values::measures::altitude::Altitude;
use crate::values::names::name::Name;
use crate::values::names::near::near_names;
use crate::values::time::civil_day::{add_months, parse_day};

/// Longest time a plan looks ahead: five years.
const LONGEST_DAYS: i64 = 5 * 366;

/// Plan how many jars to put up so that they last until the next season
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
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
    let appetites = ledger.appetites(today)?;
    let changes = changes(args.what_if, &appetites)?;
    let lines = lines(&ledger, &appetites, &changes, (today, until), args.sure)?;
    let totals = Totals::of(&lines, &OnHand::of(&args.on_hand));
    let answer = Answer { until, sure: args.sure.share(), lines, totals };
    if screen.json() {
        return screen.answer(&answer);
    }
    show::show(&answer, today, screen);
    Ok(())
}

fn until(given: Option<&str>, today: NaiveDate) -> Result<NaiveDate, Failure> {
    let Some(given) = given else { return Ok(add_months(today, 12)) };
    let until = parse_day(given, today)
        .map_err(|error| Failure::usage(error.to_string(), "such as --until 2027-08-01"))?;
    if (1..=LONGEST_DAYS).contains(&(until - today).num_days()) {
        return Ok(until);
    }
    Err(Failure::usage(
        format!("{until} is not within the five years after {today}"),
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

fn lines(
    ledger: &Ledger,
    appetites: &[Appetite],
    changes: &HashMap<String, WhatIf>,
    (today, until): (NaiveDate, NaiveDate),
    sure: Sureness,
) -> Result<Vec<Line>, Failure> {
    let stock = stock(ledger, today)?;
    let loads: HashMap<(String, JarSize), LastLoad> =
        ledger.last_loads()?.into_iter().map(|load| ((load.product.clone(), load.size), load)).collect();
    let household = ledger.household_processes()?;
    let kitchen = ledger.household().ok().map(|household| household.altitude);
    let horizon = u32::try_from((until - today).num_days()).unwrap_or(0);
    let mut lines = Vec::new();
    for appetite in appetites {
        let what_if = changes.get(&appetite.product).copied();
        for &(size, past) in &appetite.sizes {
            let key = (appetite.product.clone(), size);
            let expected = expected_use(past, horizon, what_if.unwrap_or_default(), sure);
            let best_by: Vec<NaiveDate> = (stock.get(&key).into_iter().flatten())
                .flat_map(|(&day, &jars)| std::iter::repeat_n(day, jars as usize))
                .collect();
            let good = expected.map(|expected| still_good(&best_by, today, expected.enough, horizon));
            let put_up = expected.zip(good).map(|(expected, good)| expected.enough.saturating_sub(good));
            let pattern = pattern(loads.get(&key), kitchen);
            let work = put_up.filter(|&jars| jars > 0).map(|jars| work(jars, size, &pattern, &household));
            let canner = loads.get(&key).and_then(|load| Some(load.canner.as_ref()?.name.clone()));
            lines.push(Line::new(key, past, what_if, expected, (best_by.len(), good), put_up, canner, work));
        }
    }
    Ok(lines)
}

/// How many of the jars that may be eaten have their best by on each day still ahead, by product and size.
type Ahead = HashMap<(String, JarSize), BTreeMap<NaiveDate, u64>>;

fn stock(ledger: &Ledger, today: NaiveDate) -> Result<Ahead, Failure> {
    let mut stock = Ahead::new();
    ledger.good_jars(|good| {
        if good.best_by >= today {
            *stock.entry((good.product, good.size)).or_default().entry(good.best_by).or_default() +=
                good.jars;
        }
    })?;
    Ok(stock)
}

fn pattern(load: Option<&LastLoad>, kitchen: Option<Altitude>) -> Pattern {
    let Some(load) = load else { return Pattern::default() };
    let canner = load.canner.as_ref();
    Pattern {
        food: load.food.clone(),
        pack: load.pack,
        method: canner.map(|canner| canner.method),
        holds: canner.and_then(|canner| canner.holds),
        come_up: canner.and_then(|canner| canner.come_up),
        altitude: load.altitude.or(kitchen),
    }
}
