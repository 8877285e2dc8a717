//! On which side a food stands when a jar of it is looked at with suspicion.

use crate::rules::food::name_check::names_acid_food;
use crate::tables::foods;
use crate::tables::foods::FoodKind;
use crate::tables::spoilage::AppliesTo;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::method::Acidity;
use crate::values::names::named::named_enum;

named_enum! {
    /// How carefully a jar is treated: tomato counts with low-acid food, and so
    /// does whatever is not known (USDA AIB 539, Guide 1, Identifying and
    /// handling spoiled canned food: low-acid food, tomatoes included).
    pub enum Care as "a care" {
        /// Low-acid or tomato food, or not known to be otherwise.
        LowAcid = "low-acid",
        /// Acid food without tomato.
        Acid = "acid",
    }
}

impl Care {
    /// The care that jars of a product need.
    ///
    /// What the tables say of their food stands, and nobody's word beside it: food they do not know counts as
    /// low-acid. Where no food is on record, as in a list kept elsewhere, a name that names nothing but acid food
    /// of the tables will do.
    pub fn of(food: Option<&FoodId>, product: &str) -> Self {
        let is_acid = match food {
            Some(food) => foods::get(food)
                .is_some_and(|food| food.kind != FoodKind::Tomato && food.acidity != Acidity::LowAcid),
            None => names_acid_food(product),
        };
        if is_acid { Self::Acid } else { Self::LowAcid }
    }

    /// Whether a row of the signs applies to such food.
    pub(crate) fn hears(self, applies_to: AppliesTo) -> bool {
        match applies_to {
            AppliesTo::All => true,
            AppliesTo::LowAcid => self == Self::LowAcid,
            AppliesTo::Acid => self == Self::Acid,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(food: &str) -> Care {
        Care::of(Some(&food.parse().unwrap()), "Jars")
    }

    #[test]
    fn tomatoes_and_whatever_is_not_known_are_treated_as_low_acid() {
        for food in ["tomatoes-crushed", "tomato-juice", "choice-salsa", "green-beans", "fish", "turnips"] {
            assert_eq!(of(food), Care::LowAcid, "{food}");
        }
        for food in ["peaches", "jam-jelly", "sauerkraut", "pickled-beets"] {
            assert_eq!(of(food), Care::Acid, "{food}");
        }
        // Where nobody said which food it is, the name does where it names nothing else.
        for acid in ["Peaches", "Strawberry jam", "Applesauce 2025"] {
            assert_eq!(Care::of(None, acid), Care::Acid, "{acid}");
        }
        for other in
            ["Jars", "", "Green beans", "Tomato jam", "Asian pears", "Peach and bean stew", "Pesto", "Relish"]
        {
            assert_eq!(Care::of(None, other), Care::LowAcid, "{other}");
        }
    }
}
