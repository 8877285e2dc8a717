//! A recipe, what it takes for so many jars, and what must be said of it.

use serde::{Deserialize, Serialize};

use crate::rules::food::name_check::{NameConflict, name_conflict};
use crate::rules::recipe::amount::{Amount, Rounding};
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Pack;

/// A recipe as the ledger keeps it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Recipe {
    /// What it is called; its jars are a product of this name.
    pub name: String,
    /// The food of its process; none where it goes into no canner.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub food: Option<FoodId>,
    /// How that food is packed.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub pack: Option<Pack>,
    /// The jars it makes.
    pub makes: JarsOfSize,
    /// Where it comes from.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub publication: Option<String>,
    /// What acid goes in, in words.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub acid: Option<String>,
    /// Months of best quality.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub months: Option<u32>,
    /// What to remember.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub note: Option<String>,
    /// What goes into it, in the words of a label.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub label: Option<String>,
    /// Why the name may stand although it names another food.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub name_reason: Option<String>,
    /// What goes in.
    pub ingredients: Vec<Ingredient>,
    /// What is done before the canner, in order.
    pub steps: Vec<Preparation>,
}

/// Jars of one size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct JarsOfSize {
    /// Their size.
    pub size: JarSize,
    /// How many.
    pub jars: u32,
}

/// One thing that goes in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Ingredient {
    /// Jars of a product of one's own.
    Jars {
        /// The product.
        product: String,
        /// Their size.
        size: JarSize,
        /// How many.
        jars: u32,
    },
    /// Anything else.
    Bought {
        /// What it is.
        what: String,
        /// How much, as written.
        amount: String,
        /// Whether it keeps the food acid, so that it is never rounded down.
        #[serde(default)]
        acid: bool,
    },
}

/// A step before the canner.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Preparation {
    /// What is done.
    pub what: String,
    /// How long it takes.
    pub minutes: u32,
    /// Whether hands are needed for it.
    pub hands_on: bool,
    /// Whether it is done the evening before.
    #[serde(default)]
    pub evening_before: bool,
}

/// An ingredient for so many jars.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Scaled {
    pub what: String,
    /// How much.
    pub amount: String,
    /// Whether the amount follows the jars; where it does not, it is as written for the recipe's own jars.
    pub scales: bool,
    /// The recipe's own jars, where it is as written for them and others were asked for.
    #[serde(skip)]
    pub as_for: Option<(JarSize, u32)>,
    /// Jars of a product of one's own: which and how many.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub own_jars: Option<JarsOfSize>,
}

impl Scaled {
    /// How much of what, and for which jars where those are others.
    pub(crate) fn in_words(&self) -> String {
        let Self { what, amount, .. } = self;
        match self.as_for {
            Some((size, jars)) => {
                format!("{amount} {what} (as for {}; it does not scale)", size.counted(jars))
            }
            None => format!("{amount} {what}"),
        }
    }
}

impl Recipe {
    /// What goes in for these jars, by the volume of the jars.
    pub(crate) fn for_jars(&self, wanted: &[(JarSize, u32)]) -> Vec<Scaled> {
        let volume = |size: JarSize, jars: u32| f64::from(size.fluid_ounces()) * f64::from(jars);
        let jars: f64 = wanted.iter().map(|&(size, jars)| volume(size, jars)).sum();
        let of = volume(self.makes.size, self.makes.jars);
        let scale = |ingredient: &Ingredient| match ingredient {
            Ingredient::Jars { product, size, jars: own } => {
                // Part of a jar means one jar opened.
                let count = (f64::from(*own) * jars / of - 1e-9).ceil().max(1.0) as u32;
                Scaled {
                    what: product.clone(),
                    amount: size.counted(count),
                    scales: true,
                    as_for: None,
                    own_jars: Some(JarsOfSize { size: *size, jars: count }),
                }
            }
            Ingredient::Bought { what, amount, acid } => {
                let amount = Amount::read(amount);
                let rounding = if *acid { Rounding::Up } else { Rounding::Nearest };
                let is_as_written = !amount.scales() && jars != of;
                Scaled {
                    what: what.clone(),
                    as_for: is_as_written.then_some((self.makes.size, self.makes.jars)),
                    amount: amount.scaled(jars, of, rounding),
                    scales: amount.scales(),
                    own_jars: None,
                }
            }
        };
        self.ingredients.iter().map(scale).collect()
    }

    /// What must be said of it wherever it is shown.
    pub fn cautions(&self) -> Vec<String> {
        let Some(food) = &self.food else {
            return vec!["This recipe names no process. Do not can it; eat, chill or freeze it.".to_owned()];
        };
        let source = self.publication.as_deref().unwrap_or("the publication of its process");
        let mut cautions = vec![format!(
            "The process for {food} holds for the recipe of its publication. Follow {source}; anything added, left out or \
             thickened was not tested. Ask your local extension service about it."
        )];
        for ingredient in &self.ingredients {
            let what = match ingredient {
                Ingredient::Jars { product, .. } => product,
                Ingredient::Bought { what, .. } => what,
            };
            match name_conflict(what, Some(food), None) {
                Some(NameConflict::Never(row)) => cautions.push(format!(
                    "{what}: {row} Leave it out unless the tested recipe has it; add it when you open the jar."
                )),
                Some(NameConflict::Other(_) | NameConflict::Longer(_) | NameConflict::Untested(_)) => cautions.push(format!(
                    "{what} needs more against botulism than {food} does. The process covers it only as far as the tested \
                     recipe has it."
                )),
                None => {}
            }
        }
        cautions
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn relish() -> Recipe {
        let bought = |what: &str, amount: &str, acid| Ingredient::Bought {
            what: what.into(),
            amount: amount.into(),
            acid,
        };
        Recipe {
            name: "Hillside pears".into(),
            food: Some("pears".parse().unwrap()),
            pack: Some(Pack::Hot),
            makes: JarsOfSize { size: JarSize::Pint, jars: 9 },
            publication: None,
            acid: None,
            months: None,
            note: None,
            label: None,
            name_reason: None,
            ingredients: vec![
                bought("Pears", "11 lb", false),
                bought("Cloves", "a pinch", false),
                Ingredient::Jars { product: "Apple juice".into(), size: JarSize::Quart, jars: 2 },
            ],
            steps: vec![],
        }
    }

    #[test]
    fn what_goes_in_follows_the_volume_of_the_jars() {
        // 9 quarts are twice 9 pints; 3 pints a third, for which a whole jar of juice is opened.
        let said = |wanted: &[(JarSize, u32)]| {
            relish().for_jars(wanted).into_iter().map(|one| (one.amount, one.scales)).collect::<Vec<_>>()
        };
        assert_eq!(
            said(&[(JarSize::Quart, 9)]),
            [("22 lb".into(), true), ("a pinch".into(), false), ("4 quarts".into(), true)]
        );
        assert_eq!(said(&[(JarSize::Pint, 3)])[2].0, "1 quart");
        assert_eq!(said(&[(JarSize::Pint, 9)])[0].0, "11 lb");
    }

    #[test]
    fn what_a_recipe_adds_to_its_process_is_cautioned_about() {
        let mut recipe = relish();
        assert_eq!(recipe.cautions().len(), 1);
        recipe.ingredients.push(Ingredient::Bought {
            what: "Green beans".into(),
            amount: "1 lb".into(),
            acid: false,
        });
        assert!(recipe.cautions()[1].starts_with("Green beans needs more against botulism"));
        recipe.food = None;
        assert_eq!(
            recipe.cautions(),
            ["This recipe names no process. Do not can it; eat, chill or freeze it."]
        );
    }
}
