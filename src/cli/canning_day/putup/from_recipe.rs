//! What a recipe knows of a batch made by it, taken over where nothing else was said.

use crate::cli::canning_day::putup::told::Told;
use crate::cli::errors::Failure;
use crate::ledger::file::open::Ledger;
use crate::rules::recipe::definition::{Ingredient, Recipe};
use crate::values::names::counted::jars;

/// Completes what was told by the recipe it names, if it names one. The acid in the jar is a fact of the day and never
/// taken over.
pub(super) fn complete(mut told: Told, ledger: &Ledger) -> Result<(Told, Option<Recipe>), Failure> {
    let Some(name) = &told.recipe else { return Ok((told, None)) };
    let recipe = ledger.recipe(name)?.recipe;
    // In full from here on, so that no other recipe answers to the words.
    told.recipe = recipe.name.parse().ok();
    told.product = told.product.or_else(|| recipe.name.parse().ok());
    told.food = told.food.or_else(|| recipe.food.as_ref().map(ToString::to_string));
    told.pack = told.pack.or(recipe.pack);
    told.quality_months = told.quality_months.or(recipe.months);
    told.name_reason = told.name_reason.or_else(|| recipe.name_reason.as_ref()?.parse().ok());
    Ok((told, Some(recipe)))
}

/// Says that the recipe takes jars off the shelf where none were named.
pub(super) fn own_jars_missing(recipe: &Recipe, used: usize) -> Option<String> {
    let own: Vec<String> = recipe
        .ingredients
        .iter()
        .filter_map(|ingredient| match ingredient {
            Ingredient::Jars { product, jars: count, .. } => Some(format!("{} of {product}", jars(*count))),
            Ingredient::Bought { .. } => None,
        })
        .collect();
    (used == 0 && !own.is_empty()).then(|| {
        format!(
            "The recipe takes {}. Jars of your own that went in are recorded with --used; `jarledger undo` takes this \
             batch back so that it can be logged with them.",
            own.join(" and ")
        )
    })
}
