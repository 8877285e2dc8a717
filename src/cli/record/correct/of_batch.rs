//! What is amended of a batch as a whole.

use chrono::NaiveDate;

use crate::cli::arguments::day::day;
use crate::cli::arguments::food_arg;
use crate::cli::arguments::food_arg::FoodKnown;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::record::correct::known::Known;
use crate::cli::record::correct::why::{Why, refused, text};
use crate::cli::talk::ask::parsed;
use crate::ledger::amend::correct::Amendment;
use crate::ledger::entry::correct_field::Field;
use crate::ledger::file::open::Ledger;
use crate::rules::load::load_times::out_fits;
use crate::tables::foods;
use crate::values::codes::jar_code::BatchCode;
use crate::values::kinds::method::{Acidity, Pack};
use crate::values::names::name::Name;
use crate::values::time::on_screen;
use crate::values::time::on_screen::day_in_words;

#[derive(Debug, clap::Args)]
pub(super) struct BatchArgs {
    /// The batch, such as 26-041
    pub(super) batch: Option<BatchCode>,
    /// What is in the jars
    #[arg(long, value_name = "NAME")]
    pub(super) product: Option<Name>,
    /// The food of the process tables; none: no food of the tables
    #[arg(long, value_name = "FOOD")]
    pub(super) food: Option<String>,
    /// low-acid, acid or acidified, for a food the tables do not know; or unknown
    #[arg(long)]
    pub(super) acidity: Option<Known<Acidity>>,
    /// hot, raw or unknown
    #[arg(long)]
    pub(super) pack: Option<Known<Pack>>,
    /// The day it was put up; best-by dates reckoned from it go along
    #[arg(long, value_name = "DAY", allow_hyphen_values = true)]
    pub(super) put_up: Option<String>,
    /// The note on it; empty: none
    #[arg(long, value_name = "TEXT")]
    pub(super) note: Option<String>,
    /// Your word, and whose, that its process was right where none is on record; empty: nobody's
    #[arg(long, value_name = "TEXT")]
    pub(super) vouched: Option<String>,
    /// Why its name is right although it names another food; empty: no reason
    #[arg(long, value_name = "TEXT")]
    pub(super) name_reason: Option<String>,
    #[command(flatten)]
    pub(super) why: Why,
}

pub(super) fn amended(
    args: &BatchArgs,
    code: BatchCode,
    ledger: &Ledger,
    ctx: &Context,
) -> Result<Vec<Amendment>, Failure> {
    let mut amend = Vec::new();
    amend.extend(args.product.as_ref().map(|name| Amendment::new(Field::Product, Some(name))));
    let now = ledger.batch(code)?;
    let acidity = args.acidity.as_ref().map(|Known(acidity)| *acidity);
    let known = match &args.food {
        Some(food) => {
            let known = food_arg::settle(Some(food), acidity.flatten(), ledger)?;
            let product = args.product.as_ref().map_or(now.product.clone(), ToString::to_string);
            if known.food.is_none()
                && let Some((what, hint)) = food_arg::is_listed(&product)
            {
                return Err(Failure::new(Code::Refused, format!("{what}; nothing was changed"), hint));
            }
            // The acidity goes with the food; what stays the same is no correction.
            if known.acidity != now.acidity {
                amend.push(Amendment::new(Field::Acidity, known.acidity));
            }
            amend.push(Amendment::new(Field::Food, known.food.as_ref()));
            known
        }
        None => {
            if let Some(food) = now.food.as_ref().filter(|_| acidity.is_some()).and_then(foods::get) {
                return Err(Failure::new(
                    Code::Refused,
                    format!("{} is {} food by the tables; nothing was changed", food.id, food.acidity),
                    "if it is another food, correct that with --food",
                ));
            }
            amend.extend(acidity.map(|acidity| Amendment::new(Field::Acidity, acidity)));
            FoodKnown { food: now.food.clone(), acidity: acidity.unwrap_or(now.acidity) }
        }
    };
    let is_renamed = args.product.is_some() || args.food.is_some() || acidity.is_some();
    if is_renamed && args.name_reason.is_none() && now.name_reason.is_none() {
        let product = match &args.product {
            Some(product) => product.clone(),
            None => parsed(&now.product).map_err(|what| Failure::usage(what, "give --product too"))?,
        };
        food_arg::refuse_name(&product, &known, "nothing was changed")?;
    }
    amend.extend(args.vouched.as_deref().map(|word| Amendment::new(Field::Vouched, text(word))));
    amend.extend(args.name_reason.as_deref().map(|why| Amendment::new(Field::NameReason, text(why))));
    amend.extend(Known::amends(args.pack.as_ref(), Field::Pack));
    if let Some(put_up) = &args.put_up {
        let put_up = day(put_up, ctx)?;
        if put_up > ctx.clock.today() {
            return Err(refused(&format!("{} is still to come", on_screen::day(put_up))));
        }
        of_its_loads(code, put_up, ledger)?;
        amend.push(Amendment::new(Field::PutUp, Some(put_up)));
    }
    amend.extend(args.note.as_deref().map(|note| Amendment::new(Field::BatchNote, text(note))));
    Ok(amend)
}

/// Refuses a day on which no batch was put up whose loads came out when they did.
fn of_its_loads(code: BatchCode, put_up: NaiveDate, ledger: &Ledger) -> Result<(), Failure> {
    let loads = ledger.loads_of_batch(code)?;
    let Some(load) = loads.iter().find(|load| !out_fits(put_up, load.facts.out_at.date_naive())) else {
        return Ok(());
    };
    Err(Failure::usage(
        format!(
            "a batch put up {} has no load that came out {}, as load {} did; nothing was changed",
            day_in_words(put_up),
            on_screen::moment(load.facts.out_at),
            load.code
        ),
        format!(
            "if that day is wrong, amend it first: `jarledger correct load {} --out {put_up}T{}`; the two may lie a \
             day apart, so a day at a time both can be mended. Wrong by more: `jarledger undo` the putup, and log it \
             again",
            load.code,
            load.facts.out_at.format("%H:%M")
        ),
    ))
}
