//! Gauge pressures in hundredths of a pound per square inch.

use std::fmt;
use std::str::FromStr;

use crate::values::names::decimal;

/// Kilopascals in one psi (NIST SP 811, Appendix B).
const KPA_PER_PSI: f64 = 6.894_757_293_168;

/// The pressures a weighted gauge regulates at (USDA AIB 539, Guide 1, Using Pressure Canners).
pub(crate) const WEIGHTS: [Pressure; 3] =
    [Pressure::from_psi(5), Pressure::from_psi(10), Pressure::from_psi(15)];

/// What people write after pounds per square inch.
const POUNDS: [&str; 6] = ["psi", "pounds", "pound", "lbs", "lb", "#"];

/// How near a weight a figure in kPa is that weight: makers print 35, 69 or 70, and 103 for 5, 10 and 15 psi.
const KPA_OF_A_WEIGHT: f64 = 2.0;

/// The same in words.
pub(crate) const WEIGHTS_IN_WORDS: &str = "5, 10 or 15 psi";

/// A gauge pressure, held as whole hundredths of a psi, 0 to 30 psi.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Pressure(i64);

/// Says why a text is not a pressure.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "\u{201c}{0}\u{201d} is not a gauge pressure; write pounds per square inch such as 11 or 11.5psi, or kilopascals such as 76kPa (0 to 30 psi)"
)]
pub struct PressureError(pub String);

impl Pressure {
    /// A pressure of whole psi.
    pub(crate) const fn from_psi(psi: i64) -> Self {
        Self(psi * 100)
    }

    /// A pressure of hundredths of a psi, as kept in the ledger.
    pub(crate) const fn from_centi_psi(hundredths: i64) -> Self {
        Self(hundredths)
    }

    /// Hundredths of a psi.
    pub(crate) const fn centi_psi(self) -> i64 {
        self.0
    }

    /// Psi, for display and JSON.
    pub fn psi(self) -> f64 {
        self.0 as f64 / 100.0
    }

    /// The weight that a text in kilopascals means on a weighted gauge, whose makers print rounded figures.
    pub(crate) fn of_a_weight(text: &str) -> Option<Self> {
        let text = text.trim().to_ascii_lowercase();
        let kilopascals = decimal::hundredths(text.strip_suffix("kpa")?.trim())? as f64 / 100.0;
        WEIGHTS.into_iter().find(|weight| (weight.kilopascals() - kilopascals).abs() <= KPA_OF_A_WEIGHT)
    }

    /// Whether it is a pressure that a weighted gauge regulates at.
    pub(crate) fn is_of_a_weight(self) -> bool {
        WEIGHTS.contains(&self)
    }

    /// Kilopascals, for display.
    pub(crate) fn kilopascals(self) -> f64 {
        self.psi() * KPA_PER_PSI
    }
}

impl FromStr for Pressure {
    type Err = PressureError;

    fn from_str(given: &str) -> Result<Self, Self::Err> {
        let refuse = || PressureError(given.to_owned());
        let text = given.trim().to_ascii_lowercase();
        let value = if let Some(digits) = text.strip_suffix("kpa") {
            let kilopascals = decimal::hundredths(digits.trim()).ok_or_else(refuse)? as f64 / 100.0;
            // Rounded down: a reading never counts for more than it was.
            (kilopascals / KPA_PER_PSI * 100.0).floor() as i64
        } else {
            let pounds = POUNDS.iter().find_map(|unit| text.strip_suffix(unit)).unwrap_or(&text);
            decimal::hundredths(pounds.trim()).ok_or_else(refuse)?
        };
        if value > 3_000 {
            return Err(refuse());
        }
        Ok(Self(value))
    }
}

impl fmt::Display for Pressure {
    /// Writes psi without needless zeros: `11 psi`, `11.5 psi`, `11.25 psi`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} psi", self.psi())
    }
}

impl serde::Serialize for Pressure {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if self.0 % 100 == 0 {
            serializer.serialize_i64(self.0 / 100)
        } else {
            serializer.serialize_f64(self.psi())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_weights_in_words_are_those_of_the_table() {
        let [least, middle, most] = WEIGHTS.map(Pressure::psi);
        assert_eq!(WEIGHTS_IN_WORDS, format!("{least}, {middle} or {most} psi"));
        assert!(Pressure::from_psi(10).is_of_a_weight() && !Pressure::from_psi(11).is_of_a_weight());
    }

    #[test]
    fn the_figures_printed_on_weights_in_kilopascals_are_their_weights() {
        // Makers print 35, 69 or 70, and 103 kPa for 5, 10 and 15 psi: 34.47, 68.95 and 103.42 (NIST SP 811).
        for (printed, psi) in [("35kPa", 5), ("69 kPa", 10), ("70kPa", 10), ("103kPa", 15), ("105 kpa", 15)] {
            assert_eq!(Pressure::of_a_weight(printed), Some(Pressure::from_psi(psi)), "{printed}");
        }
        for other in ["37kPa", "66.9kPa", "71kPa", "101kPa", "106kPa", "10", "10psi", "kPa"] {
            assert_eq!(Pressure::of_a_weight(other), None, "{other}");
        }
    }

    #[test]
    fn both_units_are_read_and_nothing_else() {
        assert_eq!("11".parse(), Ok(Pressure::from_psi(11)));
        assert_eq!("11 pounds".parse(), Ok(Pressure::from_psi(11)));
        assert_eq!("11.5 psi".parse(), Ok(Pressure::from_centi_psi(1_150)));
        // 75.8 kPa / 6.894757 = 10.9939 psi (NIST SP 811, Appendix B), kept as 10.99: never rounded up to 11.
        assert_eq!("75.8kPa".parse(), Ok(Pressure::from_centi_psi(1_099)));
        // 11 psi = 75.842 kPa, by the same factor.
        assert!((Pressure::from_psi(11).kilopascals() - 75.842_330).abs() < 1e-6);
        assert_eq!("30".parse(), Ok(Pressure::from_psi(30)));
        assert_eq!(serde_json::to_string(&Pressure::from_psi(11)).unwrap(), "11");
        assert_eq!(serde_json::to_string(&Pressure::from_centi_psi(1_150)).unwrap(), "11.5");
        for wrong in
            ["", "psi", "-1", "1e1", "30.01", "31", "11.555", "1,5", "\u{661}\u{661}", "999999999999psi"]
        {
            assert!(wrong.parse::<Pressure>().is_err(), "{wrong}");
        }
    }
}
