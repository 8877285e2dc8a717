//! Which acid makes a process hold, for each food that needs one.

use std::sync::OnceLock;

use crate::tables::foods::AcidNeed;
use crate::tables::sources::SourceRef;
use crate::values::kinds::acid::Acid;
use crate::values::kinds::basis::Basis;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;

/// One acid that counts for one food. Foods that list several take any one of them into the jar, and what their recipe
/// says into the pot.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
pub struct AcidRow {
    /// The food.
    pub food: FoodId,
    /// What counts.
    pub acid: Acid,
    /// Whether it goes into each jar or into the recipe.
    #[serde(rename = "use")]
    pub need: AcidNeed,
    half_pint: Option<u32>,
    pint: Option<u32>,
    quart: Option<u32>,
    /// How much the tested recipe takes, where the page says it: "4 cups to 2 cups water for 8 pints".
    pub recipe: Option<String>,
    /// Publication and section.
    pub source: SourceRef,
    /// How sure the row is.
    pub basis: Basis,
}

impl AcidRow {
    /// How much goes into one jar, in quarter teaspoons; none where the publication gives no measure for that size.
    pub(crate) const fn quarter_teaspoons(&self, size: JarSize) -> Option<u32> {
        match size {
            JarSize::HalfPint => self.half_pint,
            JarSize::Pint => self.pint,
            JarSize::Quart => self.quart,
            JarSize::QuarterPint | JarSize::ThreeQuarterPint | JarSize::PintAndHalf | JarSize::HalfGallon => {
                None
            }
        }
    }
}

/// Every row, in the order of the table.
pub fn all() -> &'static [AcidRow] {
    static ROWS: OnceLock<Vec<AcidRow>> = OnceLock::new();
    ROWS.get_or_init(|| crate::tables::rows(include_str!("data/acids.tsv"), "acids.tsv"))
}

/// The rows of one food; none where no acid is added, or where which one is not held.
pub fn of(food: &FoodId) -> impl Iterator<Item = &'static AcidRow> {
    all().iter().filter(move |row| row.food == *food)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::foods;

    #[test]
    fn every_row_is_of_a_food_that_needs_its_acid_there() {
        for row in all() {
            let food = foods::get(&row.food).unwrap();
            assert_eq!(food.acid, row.need, "{}", row.food);
            assert_eq!(row.need == AcidNeed::InJar, row.pint.is_some(), "{}", row.food);
        }
    }
}
