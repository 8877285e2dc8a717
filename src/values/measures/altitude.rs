//! Heights above sea level, compared exactly in feet or metres.

use std::fmt;
use std::str::FromStr;

/// Tenths of a millimetre in a foot: 0.3048 m exactly.
const PER_FOOT: i64 = 3_048;
/// Tenths of a millimetre in a metre.
const PER_METRE: i64 = 10_000;

/// Unit in which a height was written down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum HeightUnit {
    /// International feet.
    Feet,
    /// Metres.
    Metres,
}

/// What people write after a height; a longer word before one that it ends with.
const UNITS: [(&str, HeightUnit); 7] = [
    ("feet", HeightUnit::Feet),
    ("foot", HeightUnit::Feet),
    ("ft", HeightUnit::Feet),
    ("meters", HeightUnit::Metres),
    ("metres", HeightUnit::Metres),
    ("meter", HeightUnit::Metres),
    ("m", HeightUnit::Metres),
];

/// A height above sea level, as entered: whole feet or metres, -1,500 to 30,000 ft.
///
/// Held in tenths of a millimetre, where both a foot and a metre are whole, so
/// that 305 m compares above 1,000 ft without rounding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Altitude {
    count: i64,
    unit: HeightUnit,
}

/// Says why a text is not a height.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "\u{201c}{0}\u{201d} is not an altitude; write whole feet or metres with the unit, such as 850ft or 260m (-1,500 ft to 30,000 ft)"
)]
pub struct AltitudeError(pub String);

impl Altitude {
    /// A height in whole feet.
    pub(crate) const fn from_feet(feet: i64) -> Self {
        Self { count: feet, unit: HeightUnit::Feet }
    }

    /// The exact length in tenths of a millimetre.
    const fn tenth_millimetres(self) -> i64 {
        self.count
            * match self.unit {
                HeightUnit::Feet => PER_FOOT,
                HeightUnit::Metres => PER_METRE,
            }
    }

    /// Whether this height is strictly above a whole number of feet.
    pub(crate) const fn is_above_feet(self, feet: i64) -> bool {
        self.tenth_millimetres() > feet * PER_FOOT
    }

    /// The smallest whole number of feet not below this height.
    pub(crate) fn feet_rounded_up(self) -> i64 {
        let exact = self.tenth_millimetres();
        exact.div_euclid(PER_FOOT) + i64::from(exact.rem_euclid(PER_FOOT) != 0)
    }

    /// The largest whole number of feet not above this height.
    pub(crate) const fn feet_rounded_down(self) -> i64 {
        self.tenth_millimetres().div_euclid(PER_FOOT)
    }

    /// Feet, for calculation and display only; comparisons use `is_above_feet`.
    pub fn feet(self) -> f64 {
        self.tenth_millimetres() as f64 / PER_FOOT as f64
    }
}

impl PartialOrd for Altitude {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.tenth_millimetres().cmp(&other.tenth_millimetres()))
    }
}

impl FromStr for Altitude {
    type Err = AltitudeError;

    fn from_str(given: &str) -> Result<Self, Self::Err> {
        let refuse = || AltitudeError(given.to_owned());
        let text: String = given.trim().to_ascii_lowercase().replace([' ', ','], "");
        if text == "sealevel" {
            return Ok(Self { count: 0, unit: HeightUnit::Feet });
        }
        let with_unit = |(word, unit): &(&str, HeightUnit)| Some((text.strip_suffix(word)?, *unit));
        let (digits, unit) = UNITS.iter().find_map(with_unit).ok_or_else(refuse)?;
        if !digits.trim_start_matches('-').bytes().all(|byte| byte.is_ascii_digit()) {
            return Err(refuse());
        }
        let count: i64 = digits.parse().map_err(|_| refuse())?;
        // Far above any height, far below what would overflow in tenths of a millimetre.
        if !(-100_000..=100_000).contains(&count) {
            return Err(refuse());
        }
        let altitude = Self { count, unit };
        if altitude.is_above_feet(30_000) || !altitude.is_above_feet(-1_501) {
            return Err(refuse());
        }
        Ok(altitude)
    }
}

impl fmt::Display for Altitude {
    /// Writes what was entered, unit and all: `850ft`, `260m`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = match self.unit {
            HeightUnit::Feet => "ft",
            HeightUnit::Metres => "m",
        };
        write!(f, "{}{unit}", self.count)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn height(text: &str) -> Altitude {
        text.parse().unwrap()
    }

    #[test]
    fn metres_and_feet_compare_exactly() {
        // 1 ft = 0.3048 m exactly (international foot, 1959): 1,000 ft = 304.8 m.
        assert!(height("305m").is_above_feet(1_000));
        assert!(!height("304m").is_above_feet(1_000));
        assert!(!height("1000ft").is_above_feet(1_000));
        assert!(height("1001ft").is_above_feet(1_000));
        assert!(height("381m") > height("1249ft"));
    }

    #[test]
    fn only_whole_feet_or_metres_with_a_unit_are_read() {
        for wrong in [
            "",
            "ft",
            "850",
            "8.5ft",
            "850 miles",
            "1e3ft",
            "40000ft",
            "-2000ft",
            "999999999999999999ft",
            "9223372036854775807m",
            "-9223372036854775808m",
            "--5ft",
            "\u{661}\u{662}ft",
        ] {
            assert!(wrong.parse::<Altitude>().is_err(), "{wrong}");
        }
        assert_eq!(height("1,250 ft").to_string(), "1250ft");
        for (edge, beyond) in [("-1500ft", "-1501ft"), ("30000ft", "30001ft"), ("9144m", "9145m")] {
            assert_eq!(height(edge).to_string(), edge);
            assert_eq!(beyond.parse::<Altitude>(), Err(AltitudeError(beyond.to_owned())));
        }
        assert_eq!(height("-20m").to_string(), "-20m");
    }

    #[test]
    fn rounding_up_never_lowers_a_height() {
        assert_eq!(height("305m").feet_rounded_up(), 1_001); // 305 / 0.3048 = 1000.656 ft, by hand
        assert_eq!(height("1000ft").feet_rounded_up(), 1_000);
        assert!((height("305m").feet() - 1_000.656_168).abs() < 1e-6);
        assert!((height("-20m").feet() + 65.616_798).abs() < 1e-6); // 20 / 0.3048, by hand
    }
}
