//! Acid that must be added for an acidified process to hold.

use std::fmt;

use crate::tables::acids;
use crate::tables::foods::AcidNeed;
use crate::values::kinds::acid::Acid;
use crate::values::kinds::basis::Basis;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;

/// Millilitres in a US teaspoon: a sixth of a US fluid ounce.
const ML_PER_TEASPOON: f64 = 29.573_529_562_5 / 6.0;

/// A kitchen measure, held as whole quarter teaspoons.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Spoons(u32);

impl Spoons {
    /// A measure of so many quarter teaspoons.
    pub const fn from_quarter_teaspoons(count: u32) -> Self {
        Self(count)
    }

    /// Millilitres, for display.
    pub fn millilitres(self) -> f64 {
        f64::from(self.0) / 4.0 * ML_PER_TEASPOON
    }
}

impl fmt::Display for Spoons {
    /// Writes tablespoons where they are whole, else teaspoons and quarters: `2 tablespoons`, `1/2 teaspoon`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // A tablespoon is three teaspoons, so its quarters are a third as many.
        let (count, unit) =
            if self.0.is_multiple_of(12) { (self.0 / 3, "tablespoon") } else { (self.0, "teaspoon") };
        let (whole, part) = (count / 4, ["", "1/4", "1/2", "3/4"][(count % 4) as usize]);
        let plural = if count > 4 { "s" } else { "" };
        match (whole, part) {
            (0, "") => write!(f, "none"),
            (0, part) => write!(f, "{part} {unit}"),
            (whole, "") => write!(f, "{whole} {unit}{plural}"),
            (whole, part) => write!(f, "{whole} {part} {unit}{plural}"),
        }
    }
}

impl serde::Serialize for Spoons {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// One of the acids that will do, and how much of it goes into one jar.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct AcidDose {
    /// What to add.
    pub acid: Acid,
    /// How much.
    pub amount: Spoons,
    /// Publication and section.
    pub source: String,
    /// How sure the figure is.
    pub basis: Basis,
}

impl fmt::Display for AcidDose {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} of {}", self.amount, self.acid.in_words())
    }
}

/// The acids of which one must go into each jar of this food and size.
///
/// The same in a boiling-water and in a pressure canner. Empty for food that takes none, and for sizes the
/// publication gives no measure for: a measure is not scaled.
pub fn doses(food: &FoodId, size: JarSize) -> Vec<AcidDose> {
    acids::of(food)
        .filter_map(|row| {
            Some(AcidDose {
                acid: row.acid,
                amount: Spoons::from_quarter_teaspoons(row.quarter_teaspoons(size)?),
                source: row.source.to_string(),
                basis: row.basis,
            })
        })
        .collect()
}

/// The acids that make the process of a food hold; empty where none is needed, or where the tables do not say which.
pub fn accepted(food: &FoodId) -> Vec<Acid> {
    acids::of(food).map(|row| row.acid).collect()
}

/// What the tested recipe of a food takes, in words: "5% vinegar, 4 cups to 2 cups water for 8 pints".
pub fn of_recipe(food: &FoodId) -> Option<String> {
    let parts: Vec<String> = acids::of(food)
        .filter(|row| row.need == AcidNeed::InRecipe)
        .map(|row| match &row.recipe {
            Some(amount) => format!("{}, {amount}", row.acid.in_words()),
            None => row.acid.in_words().to_owned(),
        })
        .collect();
    // Those of a recipe that names no amounts stand for each other; amounts of one recipe go in together.
    let together = acids::of(food).any(|row| row.recipe.is_some());
    (!parts.is_empty()).then(|| parts.join(if together { "; " } else { " or " }))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn measures(food: &str, size: JarSize) -> Vec<(Acid, String)> {
        let food = food.parse().unwrap();
        doses(&food, size).into_iter().map(|dose| (dose.acid, dose.amount.to_string())).collect()
    }

    #[test]
    fn a_dose_belongs_to_a_food_and_a_jar() {
        // University of Missouri Extension (2009) and North Carolina State University (2004): tomatoes, per quart
        // 2 tbsp of bottled lemon juice, 1/2 tsp of citric acid or 4 tbsp of 5 % vinegar; per pint half of each.
        let words = |lemon: &str, citric: &str| {
            vec![(Acid::LemonJuice, lemon.to_owned()), (Acid::CitricAcid, citric.to_owned())]
        };
        let with_vinegar = |mut doses: Vec<(Acid, String)>, vinegar: &str| {
            doses.push((Acid::Vinegar, vinegar.to_owned()));
            doses
        };
        let tomatoes = "tomatoes-crushed";
        let quart = with_vinegar(words("2 tablespoons", "1/2 teaspoon"), "4 tablespoons");
        assert_eq!(measures(tomatoes, JarSize::Quart), quart);
        let pint = with_vinegar(words("1 tablespoon", "1/4 teaspoon"), "2 tablespoons");
        assert_eq!(measures(tomatoes, JarSize::Pint), pint);
        assert!(measures(tomatoes, JarSize::HalfPint).is_empty());
        // USDA AIB 539, Guide 2, Figs: lemon juice or citric acid, no vinegar.
        assert_eq!(measures("figs", JarSize::Quart), words("2 tablespoons", "1/2 teaspoon"));
        // USDA AIB 539, Guide 5, King and Dungeness crab meat: four times a tomato's, half-pints too.
        assert_eq!(measures("crab-meat", JarSize::Pint), words("4 tablespoons", "1 teaspoon"));
        assert_eq!(measures("crab-meat", JarSize::HalfPint), words("2 tablespoons", "1/2 teaspoon"));
        assert!(measures("peaches", JarSize::Pint).is_empty());
    }

    #[test]
    fn which_acid_counts_and_how_much_the_recipe_takes_is_said() {
        let food = |id: &str| id.parse::<FoodId>().unwrap();
        // National Center for Home Food Preservation, Choice Salsa: lemon or lime juice, never vinegar.
        assert_eq!(accepted(&food("choice-salsa")), [Acid::LemonJuice, Acid::LimeJuice]);
        assert_eq!(of_recipe(&food("choice-salsa")).unwrap(), "bottled lemon juice or bottled lime juice");
        // USDA AIB 539, Guide 6, Pickled beets: 4 cups of vinegar to 2 cups of water for 8 pints.
        assert_eq!(accepted(&food("pickled-beets")), [Acid::Vinegar]);
        assert_eq!(
            of_recipe(&food("pickled-beets")).unwrap(),
            "5% vinegar, 4 cups to 2 cups water for 8 pints"
        );
        assert_eq!(of_recipe(&food("figs")), None);
        assert!(accepted(&food("green-beans")).is_empty());
    }

    #[test]
    fn a_tablespoon_is_half_a_fluid_ounce() {
        // NIST Handbook 44, Appendix C: 1 US tablespoon = 14.786 8 mL.
        assert!((Spoons(12).millilitres() - 14.786_8).abs() < 1e-3);
        assert_eq!(Spoons(5).to_string(), "1 1/4 teaspoons");
        assert_eq!(Spoons(4).to_string(), "1 teaspoon");
    }
}
