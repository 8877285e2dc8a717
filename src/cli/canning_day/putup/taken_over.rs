//! What a run and a recipe know of a batch, taken over where nothing else was said.

use crate::cli::arguments::moment::Moment;
use crate::cli::canning_day::putup::given::{Given, LoadGiven};
use crate::cli::errors::{Code, Failure};
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::run::Run;
use crate::rules::canning_day::run::{RunFacts, facts};
use crate::rules::recipe::definition::{Ingredient, Recipe};
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::counted::jars;

/// Completes what was given from the run it names, if it names one.
pub(super) fn by_run(mut given: Given, ledger: &Ledger) -> Result<Given, Failure> {
    let Some(id) = given.every_load.run else { return Ok(given) };
    if !given.loads.is_empty() {
        return Err(Failure::usage(
            "--run is for a batch of one load; nothing was saved",
            "leave --load out, or log each load as a batch of its own",
        ));
    }
    let run = ledger.run_under_way(id)?;
    let Some(facts) = facts(&run.taken) else {
        return Err(Failure::new(
            Code::Refused,
            format!("the jars of run {id} are not out yet; nothing was saved"),
            format!("say `jarledger run step out --run {id}` when they are"),
        ));
    };
    given.recipe = given.recipe.or_else(|| run.recipe.as_ref()?.parse().ok());
    given.food.get_or_insert_with(|| run.food.to_string());
    given.pack.get_or_insert(run.pack);
    let load = std::mem::take(&mut given.every_load);
    given.every_load = load.or(&known(&run, &facts));
    Ok(given)
}

fn known(run: &Run, facts: &RunFacts) -> LoadGiven {
    let held = facts.held.as_ref();
    LoadGiven {
        canner: run.canner.parse().ok(),
        altitude: Some(run.altitude),
        minutes: facts.minutes,
        vent: facts.vent_min.filter(|_| run.aim.method.is_pressure()),
        come_up: facts.come_up_min,
        reached: held.map(|held| Moment::Instant(held.reached_at)),
        ended: held.map(|held| Moment::Instant(held.ended_at)),
        drops: held.map(|held| held.drops.clone()).unwrap_or_default(),
        out: Some(Moment::Instant(facts.out_at)),
        ..LoadGiven::default()
    }
}

/// Completes what was given from the recipe it names, if it names one. The acid in the jar is a fact of the day and never
/// taken over.
pub(super) fn by_recipe(mut given: Given, ledger: &Ledger) -> Result<(Given, Option<Recipe>), Failure> {
    let Some(name) = &given.recipe else { return Ok((given, None)) };
    let recipe = ledger.recipe(name)?.recipe;
    // Keep the full name, so that a recipe added meanwhile cannot be meant by the words.
    given.recipe = recipe.name.parse().ok();
    given.product = given.product.or_else(|| recipe.name.parse().ok());
    given.food = given.food.or_else(|| recipe.food.as_ref().map(ToString::to_string));
    given.pack = given.pack.or(recipe.pack);
    given.quality_months = given.quality_months.or(recipe.months);
    given.name_reason = given.name_reason.or_else(|| recipe.name_reason.as_ref()?.parse().ok());
    Ok((given, Some(recipe)))
}

/// The jars a recipe makes, to be offered: not those of a run of another size.
pub(super) fn jars_of_recipe(
    given: &Given,
    recipe: Option<&Recipe>,
    ledger: &Ledger,
) -> Result<Option<(JarSize, u32)>, Failure> {
    let Some(makes) = recipe.map(|recipe| recipe.makes) else { return Ok(None) };
    let ran = given.every_load.run.map(|id| ledger.run_under_way(id)).transpose()?;
    let is_other = ran.is_some_and(|run| run.size != makes.size);
    Ok((!is_other).then_some((makes.size, makes.jars)))
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
