//! A recipe written in a file (TOML): read with every problem and its line, and written to be edited.

use std::fmt;
use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::rules::food::name_check::name_conflict;
use crate::rules::recipe::definition::{Ingredient, JarsOfSize, Preparation, Recipe};
use crate::tables::foods;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Pack;
use crate::values::names::name::Name;

/// Most ingredients, and most steps.
const MOST_PARTS: usize = 200;
/// Most jars of a recipe.
const MOST_JARS: u32 = 9_999;
/// Longest step, in minutes: two days.
const LONGEST_STEP: u32 = 2 * 24 * 60;

/// One thing that is wrong in a file.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Problem {
    /// The line, counting from 1.
    pub line: usize,
    /// What is wrong.
    pub what: String,
    /// Whether a rule of the trade is against it, rather than the file being unreadable.
    pub refused: bool,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.what)
    }
}

/// Reads a recipe; `own_foods` are those the household entered processes for.
///
/// # Errors
/// Every problem there is, in the order of the lines.
pub fn read(text: &str, own_foods: &[FoodId]) -> Result<Recipe, Vec<Problem>> {
    let (table, errors) = DeTable::parse_recoverable(text);
    let mut reader = Reader { text, own_foods, problems: Vec::new() };
    for error in errors {
        let what = error.message().lines().collect::<Vec<_>>().join("; ");
        reader.problem(error.span().unwrap_or(0..0), what);
    }
    let recipe = if reader.problems.is_empty() { reader.recipe(&table) } else { None };
    reader.problems.sort();
    reader.problems.dedup();
    recipe.filter(|_| reader.problems.is_empty()).ok_or(reader.problems)
}

/// The file of a recipe, for it to be edited.
pub fn write(recipe: &Recipe) -> String {
    let text = |text: &str| toml::Value::String(text.to_owned()).to_string();
    let mut lines = vec![format!("name = {}", text(&recipe.name))];
    let mut say =
        |key: &str, value: Option<String>| lines.extend(value.map(|value| format!("{key} = {value}")));
    let words = |value: &Option<String>| value.as_deref().map(text);
    say("food", recipe.food.as_ref().map(|food| text(food.as_str())));
    say("pack", recipe.pack.map(|pack| text(pack.as_str())));
    say("makes", Some(text(&format!("{}:{}", recipe.makes.size, recipe.makes.jars))));
    say("publication", words(&recipe.publication));
    say("acid", words(&recipe.acid));
    say("months", recipe.months.map(|months| months.to_string()));
    say("note", words(&recipe.note));
    say("label", words(&recipe.label));
    say("name_reason", words(&recipe.name_reason));
    for ingredient in &recipe.ingredients {
        lines.extend(["".to_owned(), "[[ingredient]]".to_owned()]);
        match ingredient {
            Ingredient::Jars { product, size, jars } => lines.extend([
                format!("product = {}", text(product)),
                format!("jars = {}", text(&format!("{size}:{jars}"))),
            ]),
            Ingredient::Bought { what, amount, acid } => {
                lines.extend([format!("what = {}", text(what)), format!("amount = {}", text(amount))]);
                lines.extend(acid.then(|| "acid = true".to_owned()));
            }
        }
    }
    for step in &recipe.steps {
        lines.extend(["".to_owned(), "[[step]]".to_owned()]);
        lines.extend([format!("what = {}", text(&step.what)), format!("minutes = {}", step.minutes)]);
        lines.push(format!("hands = {}", step.hands_on));
        lines.extend(step.evening_before.then(|| "evening_before = true".to_owned()));
    }
    lines.join("\n") + "\n"
}

const OF_RECIPE: &[&str] = &[
    "name",
    "food",
    "pack",
    "makes",
    "publication",
    "acid",
    "months",
    "note",
    "label",
    "name_reason",
    "ingredient",
    "step",
];

struct Reader<'t> {
    text: &'t str,
    own_foods: &'t [FoodId],
    problems: Vec<Problem>,
}

impl Reader<'_> {
    fn add(&mut self, span: Range<usize>, what: String, refused: bool) {
        let before = &self.text.as_bytes()[..span.start.min(self.text.len())];
        let line = before.iter().filter(|byte| **byte == b'\n').count() + 1;
        self.problems.push(Problem { line, what, refused });
    }

    fn problem(&mut self, span: Range<usize>, what: impl Into<String>) {
        self.add(span, what.into(), false);
    }

    fn known_keys(&mut self, table: &DeTable<'_>, known: &[&str], of: &str) {
        for key in table.keys().filter(|key| !known.contains(&key.get_ref().as_ref())) {
            self.problem(
                key.span(),
                format!("{of} has no \u{201c}{}\u{201d}; it has {}", key.get_ref(), known.join(", ")),
            );
        }
    }

    /// A text, trimmed; empty is none.
    fn text(&mut self, table: &DeTable<'_>, key: &str) -> Option<Spanned<String>> {
        let value = table.get(key)?;
        match value.get_ref().as_str().map(str::trim) {
            Some(text) if text.chars().any(|c| c.is_control() && c != '\n' && c != '\t') => {
                self.problem(value.span(), format!("{key} holds a control character"));
                None
            }
            Some("") => None,
            Some(text) if text.chars().count() > 2_000 => {
                self.problem(value.span(), format!("{key} is longer than 2,000 characters"));
                None
            }
            Some(text) => Some(Spanned::new(value.span(), text.to_owned())),
            None => {
                self.problem(value.span(), format!("{key} must be text in quotation marks"));
                None
            }
        }
    }

    fn read<T: std::str::FromStr<Err: fmt::Display>>(&mut self, table: &DeTable<'_>, key: &str) -> Option<T> {
        let text = self.text(table, key)?;
        match text.get_ref().parse() {
            Ok(value) => Some(value),
            Err(error) => {
                self.problem(text.span(), format!("{key}: {error}"));
                None
            }
        }
    }

    fn needed(
        &mut self,
        table: &DeTable<'_>,
        key: &str,
        at: Range<usize>,
        of: &str,
    ) -> Option<Spanned<String>> {
        let before = self.problems.len();
        let text = self.text(table, key);
        if text.is_none() && self.problems.len() == before {
            self.problem(at, format!("{of} needs {key}"));
        }
        text
    }

    fn number(
        &mut self,
        table: &DeTable<'_>,
        key: &str,
        range: std::ops::RangeInclusive<u32>,
    ) -> Option<u32> {
        let value = table.get(key)?;
        let number = value.get_ref().as_integer();
        let number = number.and_then(|number| u32::from_str_radix(number.as_str(), number.radix()).ok());
        let number = number.filter(|number| range.contains(number));
        if number.is_none() {
            self.problem(
                value.span(),
                format!("{key} must be a whole number from {} to {}", range.start(), range.end()),
            );
        }
        number
    }

    fn yes(&mut self, table: &DeTable<'_>, key: &str) -> bool {
        let Some(value) = table.get(key) else { return false };
        let yes = value.get_ref().as_bool();
        if yes.is_none() {
            self.problem(value.span(), format!("{key} must be true or false"));
        }
        yes.unwrap_or(false)
    }

    fn jars(&mut self, table: &DeTable<'_>, key: &str, at: Range<usize>, of: &str) -> Option<JarsOfSize> {
        let text = self.needed(table, key, at, of)?;
        let read = || {
            let (size, jars) = text.get_ref().split_once(':')?;
            let size = size.trim();
            let plural = JarSize::ALL.iter().copied().find(|known| known.plural() == size);
            let size = plural.or_else(|| size.parse().ok())?;
            let jars = jars.trim().parse().ok().filter(|jars| (1..=MOST_JARS).contains(jars))?;
            Some(JarsOfSize { size, jars })
        };
        let made = read();
        if made.is_none() {
            let sizes: Vec<&str> = JarSize::ALL.iter().map(|size| size.as_str()).collect();
            self.problem(
                text.span(),
                format!(
                    "\u{201c}{}\u{201d} is not a size and count; write {key} like \"pint:9\", the size being one of {}",
                    text.get_ref(),
                    sizes.join(", ")
                ),
            );
        }
        made
    }

    fn tables<'v, 'i>(&mut self, table: &'v DeTable<'i>, key: &str) -> Vec<(Range<usize>, &'v DeTable<'i>)> {
        let Some(value) = table.get(key) else { return Vec::new() };
        let Some(items) = value.get_ref().as_array() else {
            self.problem(value.span(), format!("write each {key} under a heading [[{key}]] of its own"));
            return Vec::new();
        };
        if items.len() > MOST_PARTS {
            self.problem(value.span(), format!("there are more than {MOST_PARTS} of {key}"));
        }
        let mut tables = Vec::new();
        for item in items.iter().take(MOST_PARTS) {
            match item.get_ref() {
                DeValue::Table(table) => tables.push((item.span(), table)),
                _ => self
                    .problem(item.span(), format!("write each {key} under a heading [[{key}]] of its own")),
            }
        }
        tables
    }

    fn recipe(&mut self, table: &Spanned<DeTable<'_>>) -> Option<Recipe> {
        let table = table.get_ref();
        self.known_keys(table, OF_RECIPE, "a recipe");
        let name = self.needed(table, "name", 0..0, "a recipe");
        let named = name.as_ref().and_then(|name| match name.get_ref().parse::<Name>() {
            Ok(read) => Some((name.span(), read)),
            Err(error) => {
                self.problem(name.span(), format!("name: {error}"));
                None
            }
        });
        let food = self.food(table);
        let pack: Option<Pack> = self.read(table, "pack");
        if let (Some(value), None, None) = (table.get("food"), pack, table.get("pack")) {
            self.problem(value.span(), "a recipe with a food needs pack = \"hot\" or \"raw\"");
        }
        let makes = self.jars(table, "makes", 0..0, "a recipe");
        let months = self.number(table, "months", 1..=60);
        let name_reason = self.text(table, "name_reason").map(Spanned::into_inner);
        if let Some((span, name)) = &named
            && let Some(conflict) = name_conflict(name.as_str(), food.as_ref(), None)
            && (name_reason.is_none()
                || matches!(conflict, crate::rules::food::name_check::NameConflict::Never(_)))
        {
            let said = conflict.of(name, food.as_ref());
            self.add(
                span.clone(),
                format!("{said}; correct the name or the food, or say why with name_reason"),
                true,
            );
        }
        let ingredients = self.ingredients(table);
        let steps = self.steps(table);
        Some(Recipe {
            name: named?.1.as_str().to_owned(),
            food,
            pack,
            makes: makes?,
            publication: self.text(table, "publication").map(Spanned::into_inner),
            acid: self.text(table, "acid").map(Spanned::into_inner),
            months,
            note: self.text(table, "note").map(Spanned::into_inner),
            label: self.text(table, "label").map(Spanned::into_inner),
            name_reason,
            ingredients,
            steps,
        })
    }

    /// The food of the process, by its key.
    fn food(&mut self, table: &DeTable<'_>) -> Option<FoodId> {
        let text = self.text(table, "food")?;
        match text.get_ref().parse::<FoodId>() {
            Ok(food) if foods::get(&food).is_some() || self.own_foods.contains(&food) => Some(food),
            _ => {
                if let Some(name) = text.get_ref().parse::<Name>().ok()
                    && let Some(conflict) = name_conflict(name.as_str(), None, None)
                    && matches!(conflict, crate::rules::food::name_check::NameConflict::Never(_))
                {
                    self.add(text.span(), format!("food: {conflict}"), true);
                    return None;
                }
                self.problem(
                    text.span(),
                    format!(
                        "\u{201c}{}\u{201d} is not in the process tables; `jarledger process --all` lists them",
                        text.get_ref()
                    ),
                );
                None
            }
        }
    }

    fn ingredients(&mut self, table: &DeTable<'_>) -> Vec<Ingredient> {
        if table.get("ingredient").is_none() {
            self.problem(0..0, "a recipe needs at least one [[ingredient]]");
        }
        let mut read = Vec::new();
        for (span, one) in self.tables(table, "ingredient") {
            if one.contains_key("product") || one.contains_key("jars") {
                self.known_keys(one, &["product", "jars"], "an ingredient from the shelf");
                let product = self.needed(one, "product", span.clone(), "an ingredient from the shelf");
                let jars = self.jars(one, "jars", span, "an ingredient from the shelf");
                if let (Some(product), Some(JarsOfSize { size, jars })) = (product, jars) {
                    match product.get_ref().parse::<Name>() {
                        Ok(name) => {
                            let product = name.as_str().to_owned();
                            read.push(Ingredient::Jars { product, size, jars });
                        }
                        Err(error) => self.problem(product.span(), format!("product: {error}")),
                    }
                }
                continue;
            }
            self.known_keys(one, &["what", "amount", "acid", "product", "jars"], "an ingredient");
            let what = self.needed(one, "what", span.clone(), "an ingredient");
            let amount = self.needed(one, "amount", span, "an ingredient");
            let acid = self.yes(one, "acid");
            if let (Some(what), Some(amount)) = (what, amount) {
                read.push(Ingredient::Bought { what: what.into_inner(), amount: amount.into_inner(), acid });
            }
        }
        read
    }

    fn steps(&mut self, table: &DeTable<'_>) -> Vec<Preparation> {
        let mut read = Vec::new();
        for (span, one) in self.tables(table, "step") {
            self.known_keys(one, &["what", "minutes", "hands", "evening_before"], "a step");
            let what = self.needed(one, "what", span.clone(), "a step");
            if one.get("minutes").is_none() {
                self.problem(span, "a step needs minutes");
            }
            let minutes = self.number(one, "minutes", 1..=LONGEST_STEP);
            let hands_on = self.yes(one, "hands");
            let evening_before = self.yes(one, "evening_before");
            if let (Some(what), Some(minutes)) = (what, minutes) {
                read.push(Preparation { what: what.into_inner(), minutes, hands_on, evening_before });
            }
        }
        read
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PEARS: &str = r#"
name = "Hillside pears"
food = "pears"
pack = "hot"
makes = "pint:9"
months = 18

[[ingredient]]
what = "Pears"
amount = "11 lb"

[[ingredient]]
product = "Apple juice"
jars = "quart:2"

[[step]]
what = "Peel and core"
minutes = 45
hands = true
"#;

    fn problems(text: &str) -> Vec<(usize, bool)> {
        read(text, &[]).unwrap_err().iter().map(|problem| (problem.line, problem.refused)).collect()
    }

    #[test]
    fn a_recipe_is_read_and_written_to_be_read_again() {
        let recipe = read(PEARS, &[]).unwrap();
        assert_eq!(recipe.makes, JarsOfSize { size: JarSize::Pint, jars: 9 });
        assert_eq!((recipe.months, recipe.pack), (Some(18), Some(Pack::Hot)));
        assert_eq!(recipe.ingredients.len(), 2);
        assert!(recipe.steps[0].hands_on);
        assert_eq!(read(&write(&recipe), &[]), Ok(recipe));
    }

    #[test]
    fn every_problem_is_named_with_its_line() {
        let text = PEARS
            .replace("\"hot\"", "\"warm\"")
            .replace("months = 18", "months = \"many\"")
            .replace("minutes = 45", "minutes = 0")
            .replace("quart:2", "barrel:2")
            .replace("hands = true", "hand = true");
        assert_eq!(problems(&text), [(4, false), (6, false), (14, false), (18, false), (19, false)]);
        assert_eq!(problems("name = "), [(1, false)]);
        assert_eq!(problems(&PEARS.replace("amount = \"11 lb\"\n", "")), [(8, false)]);
    }

    #[test]
    fn a_name_of_other_food_and_food_that_must_not_be_canned_are_refused() {
        assert_eq!(problems(&PEARS.replace("Hillside pears", "Green beans")), [(2, true)]);
        let why = "name = \"Green beans\"\nname_reason = \"what the pears are called here\"";
        assert!(read(&PEARS.replace("name = \"Hillside pears\"", why), &[]).is_ok());
        assert_eq!(problems(&PEARS.replace("\"pears\"", "\"pumpkin butter\"")), [(3, true)]);
        assert_eq!(problems(&PEARS.replace("\"pears\"", "\"pairs\"")), [(3, false)]);
    }
}
