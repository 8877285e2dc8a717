//! The food a batch is of, as the process tables or the household's own processes know it.

use crate::cli::errors::{Code, Failure};
use crate::cli::talk::ask;
use crate::cli::talk::offers::{Offer, Offers};
use crate::ledger::file::open::Ledger;
use crate::rules::food::food_search::{Found, find, named_alike};
use crate::rules::food::name_check::{NameConflict, WAY_OUT, name_conflict};
use crate::rules::food::never_food::never;
use crate::tables::foods;
use crate::tables::no_process::NoProcessRow;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::method::Acidity;
use crate::values::names::name::Name;

/// What stands for a food that no table knows.
pub(in crate::cli) const NO_FOOD: &str = "none";

/// A food settled on; none: no food of the tables.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::cli) struct FoodKnown {
    /// Its key.
    pub(in crate::cli) food: Option<FoodId>,
    /// Its acidity; none: nobody said.
    pub(in crate::cli) acidity: Option<Acidity>,
}

/// What to do about a food that must not be canned.
pub(in crate::cli) const LEAVE_IT: &str = "do not can it; ask your local extension service";

/// Settles on a food by its key; every other word is answered with suggestions.
pub(in crate::cli) fn settle(
    given: Option<&str>,
    acidity: Option<Acidity>,
    ledger: &Ledger,
) -> Result<FoodKnown, Failure> {
    let given = given.ok_or_else(|| ask::missing("--food FOOD"))?.trim();
    if given.eq_ignore_ascii_case(NO_FOOD) {
        return Ok(FoodKnown { food: None, acidity });
    }
    if let Some(row) = never(given) {
        return Err(never_canned(&format!("\u{201c}{given}\u{201d}"), row, LEAVE_IT));
    }
    let suggestions = match find(given) {
        Found::Exact(food) => return agree(&food.id, food.acidity, acidity),
        Found::Suggested(suggestions) => suggestions,
    };
    if let Some(own) = ledger.household_processes()?.iter().find(|own| own.food.as_str() == given) {
        return agree(&own.food, own.acidity, acidity);
    }
    let near: Vec<String> =
        suggestions.iter().map(|found| format!("{} ({})", found.food.id, found.food.name)).collect();
    let hint = if near.is_empty() { String::new() } else { format!("did you mean {}? ", near.join(", or ")) };
    Err(Failure::new(
        Code::NotFound,
        format!("\u{201c}{given}\u{201d} is not a food of the process tables; nothing was saved"),
        format!("{hint}For a food that no table knows, give --food none and --acidity"),
    ))
}

/// Refuses a product whose name names another food than the one it is said to be, where that food needs more or must
/// not be canned at all.
pub(in crate::cli) fn refuse_name(product: &Name, known: &FoodKnown, unchanged: &str) -> Result<(), Failure> {
    let Some(conflict) = name_conflict(product.as_str(), known.food.as_ref(), known.acidity) else {
        return Ok(());
    };
    let way_out = match conflict {
        NameConflict::Never(_) => format!("if it was canned, do not eat it; {WAY_OUT}"),
        NameConflict::Other(_) | NameConflict::Longer(_) | NameConflict::Untested(_) => WAY_OUT.to_owned(),
    };
    Err(Failure::new(
        Code::Refused,
        format!("{}; {unchanged}", conflict.of(product, known.food.as_ref())),
        way_out,
    ))
}

/// The refusal of a food that must not be canned.
fn never_canned(named: &str, row: &NoProcessRow, way_out: &str) -> Failure {
    Failure::new(Code::Refused, format!("{named} has no tested process: {row}; nothing was saved"), way_out)
}

/// Why a product cannot be of a food no table knows, if its name is that of one they do, and what to type.
pub(in crate::cli) fn is_listed(product: &str) -> Option<(String, String)> {
    let alike = named_alike(product);
    let first = alike.first()?;
    let names: Vec<String> = alike.iter().map(|food| format!("{} ({})", food.id, food.name)).collect();
    Some((
        format!("{product} is a food of the process tables: {}", names.join(", or ")),
        format!("give --food {}; if it is another food, give it another product name", first.id),
    ))
}

/// A food whose acidity is on record has no other.
fn agree(food: &FoodId, known: Acidity, given: Option<Acidity>) -> Result<FoodKnown, Failure> {
    match given.filter(|&given| given != known) {
        Some(given) => Err(Failure::usage(
            format!("{food} is {known} in the tables, and --acidity says {given}; nothing was saved"),
            "leave --acidity out, or give --food none for another food",
        )),
        None => Ok(FoodKnown { food: Some(food.clone()), acidity: Some(known) }),
    }
}

/// The foods of the tables by their keys, each with its name.
pub(in crate::cli) fn foods_by_key() -> Vec<Offer> {
    let mut foods: Vec<Offer> =
        foods::all().map(|food| Offer { answer: food.id.to_string(), about: food.name.clone() }).collect();
    foods.sort_by(|a, b| a.answer.cmp(&b.answer));
    foods
}

/// The foods of the tables, to pick from.
pub(in crate::cli) fn food_offers() -> Offers {
    Offers::new(foods_by_key())
}
