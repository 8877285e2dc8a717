//! The foods of the process tables.

use std::sync::{LazyLock, OnceLock};

use csv::StringRecord;

use crate::tables::sources::SourceRef;
use crate::values::kinds::basis::Basis;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::method::Acidity;
use crate::values::names::named::named_enum;

named_enum! {
    /// What sort of food it is, where that decides how an opened or suspect jar is treated.
    pub enum FoodKind as "a kind of food" {
        /// Fruit and fruit sauce.
        Fruit = "fruit",
        /// Fruit juice.
        Juice = "juice",
        /// Jam, jelly and fruit butter.
        Spread = "spread",
        /// Anything that is mostly tomato, acidified or not.
        Tomato = "tomato",
        /// Vegetables, dried beans and peas.
        Vegetable = "vegetable",
        /// Soup.
        Soup = "soup",
        /// Meat, poultry and their stock.
        Meat = "meat",
        /// Fish.
        Fish = "fish",
        /// Pickles and fermented cabbage.
        Pickle = "pickle",
    }
}

named_enum! {
    /// Where the acid comes from that an acidified food depends on.
    pub enum AcidNeed as "a need of acid" {
        /// None is added.
        None = "none",
        /// Measured into each jar.
        InJar = "in-jar",
        /// Part of the tested recipe.
        InRecipe = "in-recipe",
    }
}

/// A food that has at least one tested process in the tables.
#[derive(Debug, Clone, PartialEq, Eq, serde::Deserialize)]
pub struct Food {
    /// Its key.
    #[serde(rename = "food")]
    pub id: FoodId,
    /// Its name in the publication.
    pub name: String,
    /// Which side of pH 4.6 it stands on.
    pub acidity: Acidity,
    /// What sort of food it is.
    pub kind: FoodKind,
    /// Where its acid comes from.
    pub acid: AcidNeed,
    /// Publication and section.
    pub source: SourceRef,
    /// How sure the row is.
    pub basis: Basis,
}

/// A row of the table, and the food once somebody asked for it.
struct Row {
    key: &'static str,
    line: &'static str,
    food: OnceLock<Food>,
}

impl Row {
    fn food(&self) -> &Food {
        self.food.get_or_init(|| crate::tables::row(&TABLE.0, self.line, "foods.tsv"))
    }
}

/// The headings and the rows. Most commands ask for a food or two, and to read all the others takes longer than to show a
/// jar.
static TABLE: LazyLock<(StringRecord, Vec<Row>)> = LazyLock::new(|| {
    let (heads, lines) = crate::tables::heads_and_lines(include_str!("data/foods.tsv"));
    let row = |line| Row { key: crate::tables::key(line), line, food: OnceLock::new() };
    (heads, lines.map(row).collect())
});

/// Every food, in the order of the table.
pub fn all() -> impl ExactSizeIterator<Item = &'static Food> + Clone {
    TABLE.1.iter().map(Row::food)
}

/// The food with this key, if the tables know it.
pub fn get(id: &FoodId) -> Option<&'static Food> {
    TABLE.1.iter().find(|row| row.key == id.as_str()).map(Row::food)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_food_is_listed_once_and_their_number_is_that_counted_by_hand() {
        let mut ids: Vec<&FoodId> = all().map(|food| &food.id).collect();
        ids.sort_unstable();
        ids.dedup();
        // Counted by hand over the tables of Guides 2 to 7 and the pages beside them: 149 foods.
        assert_eq!((all().len(), ids.len()), (149, 149));
    }

    #[test]
    fn acid_is_needed_by_every_acidified_food() {
        for food in all().filter(|food| food.acidity == Acidity::Acidified) {
            assert_ne!(food.acid, AcidNeed::None, "{}", food.id);
        }
        // AIB 539, Guides 2, 3 and 5: six ways with tomatoes, the juice blend, tomatillos, figs, Asian pears and crab.
        assert_eq!(all().filter(|food| food.acid == AcidNeed::InJar).count(), 11);
    }

    #[test]
    fn foods_of_guide_4_and_5_are_low_acid_and_no_fruit_is() {
        // 21 CFR 114.3: vegetables, meat and fish are above pH 4.6; the fruits of Guide 2 below.
        for food in all() {
            match food.kind {
                FoodKind::Vegetable | FoodKind::Meat | FoodKind::Fish | FoodKind::Soup => {
                    assert_eq!(food.acidity, Acidity::LowAcid, "{}", food.id);
                }
                FoodKind::Fruit | FoodKind::Juice | FoodKind::Spread => {
                    assert_ne!(food.acidity, Acidity::LowAcid, "{}", food.id);
                }
                FoodKind::Tomato => assert_ne!(food.acidity, Acidity::Acid, "{}", food.id),
                FoodKind::Pickle => assert_ne!(food.acidity, Acidity::LowAcid, "{}", food.id),
            }
        }
    }
}
