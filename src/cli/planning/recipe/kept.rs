//! A recipe as it was kept, and how that is shown.

use crate::cli::errors::Failure;
use crate::cli::talk::screen::Screen;
use crate::ledger::kitchen::recipe::RecipeOnRecord;
use crate::values::names::quoted::quoted;

#[derive(serde::Serialize)]
pub(super) struct Kept<'a> {
    pub(super) recipe: &'a RecipeOnRecord,
    pub(super) cautions: Vec<String>,
}

/// Shows what was kept.
pub(super) fn kept(on_record: &RecipeOnRecord, screen: &mut Screen) -> Result<(), Failure> {
    let recipe = &on_record.recipe;
    let cautions = recipe.cautions();
    if screen.json() {
        return screen.answer(&Kept { recipe: on_record, cautions });
    }
    let makes = recipe.makes.size.counted(recipe.makes.jars);
    screen.say(format!("Kept recipe {}, version {}, for {makes}.", recipe.name, on_record.version));
    for caution in cautions {
        screen.say(caution);
    }
    screen.next(format!(
        "`jarledger recipe {} --jars {}:{}` shows it for more jars",
        quoted(&recipe.name),
        recipe.makes.size,
        recipe.makes.jars.saturating_mul(2)
    ));
    Ok(())
}
