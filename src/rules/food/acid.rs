//! Acid that must be added for an acidified process to hold.

use std::fmt;

use crate::tables::acids;
use crate::values::kinds::acid::Acid;
use crate::values::kinds::basis::Basis;
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

/// The acids of which one must go into each jar of tomatoes of this size.
///
/// The same in a boiling-water and in a pressure canner. Empty for sizes the
/// publication gives no figure for: the dose is not scaled.
pub fn doses(size: JarSize) -> Vec<AcidDose> {
    acids::all()
        .iter()
        .filter(|row| row.size == size)
        .map(|row| AcidDose {
            acid: row.acid,
            amount: Spoons::from_quarter_teaspoons(row.quarter_teaspoons),
            source: row.source.to_string(),
            basis: row.basis,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(size: JarSize) -> Vec<(Acid, String)> {
        doses(size).into_iter().map(|dose| (dose.acid, dose.amount.to_string())).collect()
    }

    #[test]
    fn a_quart_takes_two_tablespoons_of_lemon_juice_and_a_pint_half_of_it() {
        // Penn State Extension and University of Missouri Extension GH1456: per quart 2 tbsp bottled lemon
        // juice or 1/2 tsp citric acid or 4 tbsp 5 % vinegar; per pint 1 tbsp or 1/4 tsp. Vinegar per pint,
        // from memory (AIB 539, Guide 3, Acidification): half.
        let words = |lemon: &str, citric: &str, vinegar: &str| {
            vec![
                (Acid::LemonJuice, lemon.to_owned()),
                (Acid::CitricAcid, citric.to_owned()),
                (Acid::Vinegar, vinegar.to_owned()),
            ]
        };
        assert_eq!(told(JarSize::Quart), words("2 tablespoons", "1/2 teaspoon", "4 tablespoons"));
        assert_eq!(told(JarSize::Pint), words("1 tablespoon", "1/4 teaspoon", "2 tablespoons"));
        assert!(doses(JarSize::HalfPint).is_empty());
        assert_eq!(doses(JarSize::Quart)[1].to_string(), "1/2 teaspoon of citric acid");
    }

    #[test]
    fn every_dose_for_a_quart_is_twice_that_for_a_pint() {
        for (quart, pint) in doses(JarSize::Quart).iter().zip(doses(JarSize::Pint)) {
            assert_eq!(quart.acid, pint.acid);
            assert_eq!(quart.amount.0, 2 * pint.amount.0);
        }
    }

    #[test]
    fn a_tablespoon_is_half_a_fluid_ounce() {
        // NIST Handbook 44, Appendix C: 1 US tablespoon = 14.786 8 mL.
        assert!((Spoons(12).millilitres() - 14.786_8).abs() < 1e-3);
        assert_eq!(Spoons(5).to_string(), "1 1/4 teaspoons");
        assert_eq!(Spoons(4).to_string(), "1 teaspoon");
    }
}
