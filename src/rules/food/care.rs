//! On which side a food stands when a jar of it is looked at with suspicion.

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
    /// The care a food needs.
    ///
    /// What the tables say of a food stands; `acidity`, as the household gave it,
    /// counts for foods they do not know. Neither known is low-acid.
    pub fn of(food: Option<&FoodId>, acidity: Option<Acidity>) -> Self {
        let listed = food.and_then(foods::get);
        if listed.is_some_and(|food| food.kind == FoodKind::Tomato) {
            return Self::LowAcid;
        }
        match listed.map(|food| food.acidity).or(acidity) {
            Some(Acidity::Acid | Acidity::Acidified) => Self::Acid,
            Some(Acidity::LowAcid) | None => Self::LowAcid,
        }
    }

    /// Whether a row of the signs is told of such food.
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

    fn of(food: &str, acidity: Option<Acidity>) -> Care {
        Care::of(Some(&food.parse().unwrap()), acidity)
    }

    #[test]
    fn tomatoes_and_whatever_is_not_known_are_treated_as_low_acid() {
        for food in ["tomatoes-crushed", "tomato-juice", "choice-salsa", "green-beans", "fish", "turnips"] {
            assert_eq!(of(food, None), Care::LowAcid, "{food}");
        }
        for food in ["peaches", "jam-jelly", "sauerkraut", "pickled-beets"] {
            assert_eq!(of(food, None), Care::Acid, "{food}");
        }
        assert_eq!(Care::of(None, None), Care::LowAcid);
        assert_eq!(Care::of(None, Some(Acidity::Acid)), Care::Acid);
    }

    #[test]
    fn what_the_household_says_of_a_listed_food_does_not_count() {
        assert_eq!(of("green-beans", Some(Acidity::Acid)), Care::LowAcid);
        assert_eq!(of("tomatoes-crushed", Some(Acidity::Acid)), Care::LowAcid);
        assert_eq!(of("plum-chutney", Some(Acidity::Acidified)), Care::Acid);
        assert_eq!(of("plum-chutney", Some(Acidity::LowAcid)), Care::LowAcid);
    }
}
