//! Acid that must be added for an acidified process to hold.

use super::jar_size::JarSize;
use super::named_enum;

named_enum! {
    /// Which acid went into the jars.
    pub enum Acid as "an acid" {
        /// Known to have had none.
        Nothing = "none",
        /// Bottled lemon juice.
        LemonJuice = "lemon-juice",
        /// Citric acid.
        CitricAcid = "citric-acid",
        /// Vinegar of 5 % acidity.
        Vinegar = "vinegar",
    }
}

/// What was written down about the acid of a load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AcidRecord {
    /// The acid.
    pub acid: Acid,
    /// Whether every jar got the full measure its recipe or process asks for.
    pub full_measure: bool,
}

/// The measure of an acid owed by one jar of whole, crushed or juiced tomatoes.
///
/// Per quart 2 tablespoons of bottled lemon juice, 1/2 teaspoon of citric acid or
/// 4 tablespoons of 5 % vinegar; half of each per pint; boiling water and pressure
/// alike. From memory (USDA AIB 539, Guide 3, Acidification), not confirmed
/// against print. Other jars have no measure on record.
pub const fn tomato_measure(acid: Acid, size: JarSize) -> Option<&'static str> {
    match (acid, size) {
        (Acid::LemonJuice, JarSize::Quart) => Some("2 tablespoons of bottled lemon juice"),
        (Acid::LemonJuice, JarSize::Pint) => Some("1 tablespoon of bottled lemon juice"),
        (Acid::CitricAcid, JarSize::Quart) => Some("1/2 teaspoon of citric acid"),
        (Acid::CitricAcid, JarSize::Pint) => Some("1/4 teaspoon of citric acid"),
        (Acid::Vinegar, JarSize::Quart) => Some("4 tablespoons of 5 % vinegar"),
        (Acid::Vinegar, JarSize::Pint) => Some("2 tablespoons of 5 % vinegar"),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // USDA AIB 539, Guide 3, Acidification, from memory: a pint takes half of what a quart takes.
    #[test]
    fn a_pint_takes_half_of_a_quart() {
        let amount = |acid, size| {
            let told = tomato_measure(acid, size)?;
            let (number, rest) = told.split_once(' ')?;
            let (over, under) = number.split_once('/').unwrap_or((number, "1"));
            Some((over.parse::<f64>().ok()? / under.parse::<f64>().ok()?, rest.replace("spoons", "spoon")))
        };
        for (acid, quart, of) in [
            (Acid::LemonJuice, 2.0, "tablespoon of bottled lemon juice"),
            (Acid::CitricAcid, 0.5, "teaspoon of citric acid"),
            (Acid::Vinegar, 4.0, "tablespoon of 5 % vinegar"),
        ] {
            assert_eq!(amount(acid, JarSize::Quart), Some((quart, of.to_owned())));
            assert_eq!(amount(acid, JarSize::Pint), Some((quart / 2.0, of.to_owned())));
            assert_eq!(tomato_measure(acid, JarSize::HalfGallon), None);
        }
        assert_eq!(tomato_measure(Acid::Nothing, JarSize::Quart), None);
    }
}
