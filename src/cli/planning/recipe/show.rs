//! One recipe for so many jars.

use crate::answers::planning::shopping::{Shopping, of_shelf};
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::screen::Screen;
use crate::ledger::kitchen::recipe::RecipeOnRecord;
use crate::rules::recipe::definition::{JarsOfSize, Scaled};
use crate::values::kinds::jar_size::JarSize;
use crate::values::measures::in_words::time;
use crate::values::names::name::Name;
use crate::values::names::quoted::quoted;

#[derive(serde::Serialize)]
struct Answer {
    #[serde(rename = "recipe")]
    on_record: RecipeOnRecord,
    jars: Vec<JarsOfSize>,
    ingredients: Vec<Scaled>,
    #[serde(flatten)]
    shopping: Shopping,
    cautions: Vec<String>,
}

pub(super) fn run(
    name: &Name,
    jars: &[(JarSize, u32)],
    ctx: &Context,
    screen: &mut Screen,
) -> Result<(), Failure> {
    let ledger = ctx.open()?;
    let on_record = ledger.recipe(name)?;
    let makes = on_record.recipe.makes;
    let jars = if jars.is_empty() { vec![(makes.size, makes.jars)] } else { jars.to_vec() };
    let ingredients = on_record.recipe.for_jars(&jars);
    let shopping = of_shelf(&ingredients, &ledger, ctx.clock.now)?;
    let cautions = on_record.recipe.cautions();
    let jars: Vec<JarsOfSize> = jars.into_iter().map(|(size, jars)| JarsOfSize { size, jars }).collect();
    let answer = Answer { on_record, jars, ingredients, shopping, cautions };
    if screen.json() {
        return screen.answer(&answer);
    }
    let recipe = &answer.on_record.recipe;
    let counts: Vec<String> = answer.jars.iter().map(|jars| jars.size.counted(jars.jars)).collect();
    screen.say(format!(
        "{}, version {}: for {}",
        recipe.name,
        answer.on_record.version,
        counts.join(" and ")
    ));
    if let (Some(food), Some(pack)) = (&recipe.food, recipe.pack) {
        screen.say(format!("  process: {food}, {pack} pack"));
    }
    let words = [
        ("from", &recipe.publication),
        ("acid", &recipe.acid),
        ("label", &recipe.label),
        ("note", &recipe.note),
    ];
    for (what, text) in words {
        if let Some(text) = text {
            screen.say(format!("  {what}: {text}"));
        }
    }
    screen.say("");
    for one in &answer.ingredients {
        screen.say(format!("  {}", one.in_words()));
    }
    answer.shopping.say(screen);
    if !recipe.steps.is_empty() {
        screen.say("");
        screen.say("Before the canner:");
    }
    for step in &recipe.steps {
        let hands = if step.hands_on { ", hands needed" } else { "" };
        let evening = if step.evening_before { "the evening before: " } else { "" };
        screen.say(format!("  {evening}{}: {}{hands}", step.what, time(step.minutes)));
    }
    screen.say("");
    for caution in &answer.cautions {
        screen.say(caution);
    }
    if recipe.food.is_some() {
        screen.next(format!(
            "`jarledger plan --recipe {} --jars {}:{} --start 9:00` plans the day",
            quoted(&recipe.name),
            recipe.makes.size,
            recipe.makes.jars
        ));
    }
    Ok(())
}
