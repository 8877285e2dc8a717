//! Weights of produce in hundredths of a pound.

use std::fmt;
use std::str::FromStr;

use crate::values::names::decimal;

/// Kilograms in a pound, exactly (international pound, 1959; NIST SP 811, Appendix B).
const KG_PER_POUND: f64 = 0.453_592_37;

/// A weight of produce, held as whole hundredths of a pound, 0 to 9,999 lb.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Pounds(u32);

/// Says why a text is not a weight.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "\u{201c}{0}\u{201d} is not a weight of produce; write pounds such as 24 or 24.5lb, or kilograms such as 11kg (up to 9,999 lb)"
)]
pub struct PoundsError(pub String);

impl Pounds {
    /// A weight of hundredths of a pound.
    pub(crate) const fn from_hundredths(hundredths: u32) -> Self {
        Self(hundredths)
    }

    /// Hundredths of a pound.
    pub const fn hundredths(self) -> u32 {
        self.0
    }

    /// Pounds, for display and JSON.
    pub fn pounds(self) -> f64 {
        f64::from(self.0) / 100.0
    }

    /// Kilograms, for display.
    pub(crate) fn kilograms(self) -> f64 {
        self.pounds() * KG_PER_POUND
    }
}

impl FromStr for Pounds {
    type Err = PoundsError;

    fn from_str(given: &str) -> Result<Self, PoundsError> {
        let refuse = || PoundsError(given.to_owned());
        let text = given.trim().to_ascii_lowercase();
        let value = if let Some(digits) = text.strip_suffix("kg") {
            let kilograms = decimal::hundredths(digits.trim()).ok_or_else(refuse)? as f64 / 100.0;
            // Rounded down: produce never counts for more than it is.
            (kilograms / KG_PER_POUND * 100.0).floor() as i64
        } else {
            let digits = text.strip_suffix("lbs").or_else(|| text.strip_suffix("lb")).unwrap_or(&text);
            decimal::hundredths(digits.trim()).ok_or_else(refuse)?
        };
        u32::try_from(value).ok().filter(|value| *value <= 999_900).map(Self).ok_or_else(refuse)
    }
}

impl fmt::Display for Pounds {
    /// Writes pounds without needless zeros: `24 lb`, `3.25 lb`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} lb", self.pounds())
    }
}

impl serde::Serialize for Pounds {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(self.pounds())
    }
}

impl<'de> serde::Deserialize<'de> for Pounds {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(serde::de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pounds_and_kilograms_are_read_and_nothing_else() {
        assert_eq!("24".parse(), Ok(Pounds(2_400)));
        assert_eq!("9999".parse(), Ok(Pounds(999_900)));
        assert_eq!("3.25 lb".parse(), Ok(Pounds(325)));
        assert_eq!("3.5lbs".parse(), Ok(Pounds(350)));
        // 11 kg / 0.45359237 = 24.2508 lb (NIST SP 811), kept as 24.25.
        assert_eq!("11kg".parse(), Ok(Pounds(2_425)));
        for wrong in [
            "", "lb", "-1", ".5", "1.x", "x.1", "1e3", "10000", "9999.01", "9999kg", "1.234", "2 stone",
            "\u{661}",
        ] {
            assert!(wrong.parse::<Pounds>().is_err(), "{wrong}");
        }
        assert_eq!(Pounds(325).to_string(), "3.25 lb");
        assert_eq!(Pounds(2_400).to_string(), "24 lb");
        // 10 lb = 4.535 923 7 kg.
        assert!((Pounds(1_000).kilograms() - 4.535_923_7).abs() < 1e-9);
    }
}
