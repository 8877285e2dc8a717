use crate::ledger::batch::put_up::NewBatch;
use crate::ledger::kitchen::recipe::RecipeOnRecord;
use crate::ledger::tests::household::Household;
use crate::rules::recipe::definition::Recipe;
use crate::rules::recipe::recipe_file;
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::name::Name;

fn pears(months: u32) -> Recipe {
    let text = format!(
        "name = \"Hillside pears\"\nfood = \"pears\"\npack = \"hot\"\nmakes = \"pint:9\"\nmonths = {months}\n\n\
         [[ingredient]]\nwhat = \"Pears\"\namount = \"11 lb\"\n"
    );
    recipe_file::read(&text, &[]).unwrap()
}

fn words() -> Name {
    "pears".parse().unwrap()
}

/// The versions on offer with their months.
fn offered(household: &Household) -> Vec<(u32, Option<u32>)> {
    let recipes = household.ledger.recipes().unwrap();
    recipes.iter().map(|one| (one.version, one.recipe.months)).collect()
}

fn add(household: &Household, months: u32) -> RecipeOnRecord {
    household.entry(|write| write.add_recipe(&pears(months))).unwrap()
}

#[test]
fn a_changed_recipe_is_a_new_version_and_undo_brings_back_the_one_before() {
    let household = Household::at("2026-09-01T12:00");
    assert_eq!(add(&household, 18).version, 1);
    assert_eq!(add(&household, 12).version, 2);
    assert_eq!(offered(&household), [(2, Some(12))]);
    household.undo_last();
    assert_eq!(offered(&household), [(1, Some(18))]);
    household.entry(|write| write.remove_recipe(&words())).unwrap();
    assert_eq!(offered(&household), []);
    assert!(household.ledger.recipe(&words()).is_err());
    household.undo_last();
    assert_eq!(household.ledger.recipe(&words()).unwrap().version, 1);
    // A number never stands for two texts, so the version taken back is not given again.
    assert_eq!(add(&household, 24).version, 4);
    assert_eq!(household.problems(), []);
}

#[test]
fn a_batch_remembers_the_version_it_was_made_by() {
    let household = Household::at("2026-09-01T12:00");
    add(&household, 18);
    add(&household, 12);
    let load = household.load("Kettle", 20, &[(JarSize::Pint, 9)]);
    let batch = household.batch(("Hillside pears", "pears"), vec![load]);
    household.put_up(&NewBatch { recipe: Some(words()), ..batch });
    let version = || {
        let recipe = household.ledger.recipe_of_batch("26-001".parse().unwrap()).unwrap().unwrap();
        (recipe.version, recipe.recipe.months)
    };
    assert_eq!(version(), (2, Some(12)));
    // A later version, or none, changes nothing of the batch.
    add(&household, 24);
    household.entry(|write| write.remove_recipe(&words())).unwrap();
    assert_eq!(version(), (2, Some(12)));
    assert_eq!(household.problems(), []);
}
