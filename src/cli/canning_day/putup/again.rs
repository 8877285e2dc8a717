//! What was chosen the last time a product was put up, to begin the same again. What was measured is never taken over.

use crate::answers::jars::sizes::sizes;
use crate::answers::near::did_you_mean;
use crate::cli::canning_day::putup::given::Given;
use crate::cli::errors::{Code, Failure};
use crate::cli::talk::jar_offers::lately;
use crate::ledger::batch::batch_story::{BatchLine, Origin};
use crate::ledger::entry::names::one_meant;
use crate::ledger::entry::names_in_use::Named;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::name::Name;
use crate::values::names::near::near_names;

/// Completes what was given by the last batch of a product, or of all; with it come the jars that batch had.
pub(super) fn begin_with(
    mut given: Given,
    product: Option<&Name>,
    ledger: &Ledger,
) -> Result<(Given, Vec<(JarSize, u32)>), Failure> {
    let name = product.map(|words| known(words, ledger)).transpose()?;
    let is_it = |line: &BatchLine| {
        line.batch.origin == Origin::Own && name.as_ref().is_none_or(|name| *name == line.batch.product)
    };
    let Some(last) = lately(ledger, 1, is_it)?.pop() else {
        return Err(Failure::new(
            Code::NotFound,
            format!(
                "{} was put up here before; nothing was saved",
                name.map_or_else(|| "nothing".to_owned(), |name| format!("no {name}"))
            ),
            "`jarledger putup` without --again asks for everything",
        ));
    };
    let story = ledger.batch_story(last.batch.code)?;
    let product: Name = story
        .batch
        .product
        .parse()
        .map_err(|_| LedgerError::Unreadable(format!("product {:?}", story.batch.product)))?;
    let choices = ledger.last_time(Some(&product))?;
    given.product = Some(product);
    given.food = given.food.or_else(|| story.batch.food.as_ref().map(ToString::to_string));
    given.acidity = given.acidity.or(story.batch.acidity.filter(|_| story.batch.food.is_none()));
    given.pack = given.pack.or(story.batch.pack);
    given.place = given.place.or_else(|| choices.place.and_then(|place| place.parse().ok()));
    if given.loads.is_empty() {
        let canner = choices.canner.and_then(|canner| canner.parse().ok());
        given.every_load.canner = given.every_load.canner.or(canner);
    }
    Ok((given, sizes(&story.jars)))
}

/// The product that everyday words name.
fn known(words: &Name, ledger: &Ledger) -> Result<String, Failure> {
    let products = ledger.names_in_use(Named::Product)?;
    match one_meant(words.as_str(), products.iter().map(String::as_str))? {
        Some(only) => Ok(only.to_owned()),
        None => Err(Failure::new(
            Code::NotFound,
            format!("there is no product {words} in this ledger; nothing was saved"),
            did_you_mean(&near_names(words.as_str(), products.iter().map(String::as_str)))
                .unwrap_or_else(|| "`jarledger batch` lists what was put up".to_owned()),
        )),
    }
}
