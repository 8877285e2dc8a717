//! Lengths on paper, in whole micrometres.

use std::fmt;
use std::str::FromStr;

use crate::values::names::decimal::scaled;

/// Micrometres in an inch: 25.4 mm exactly.
const PER_INCH: i64 = 25_400;
/// Longest length read, in micrometres: two metres.
const LONGEST: i64 = 2_000_000;

/// A length on paper, 0 to 2 m, held in whole micrometres so that both
/// millimetres and decimal inches stay exact.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Length(i64);

/// Says why a text is not a length.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "\u{201c}{0}\u{201d} is not a length; write millimetres such as 63.5mm, or inches such as 2.5in (0 to 2,000 mm)"
)]
pub struct LengthError(pub String);

impl Length {
    /// Whole millimetres.
    pub const fn mm(millimetres: i64) -> Self {
        Self(millimetres * 1_000)
    }

    /// Whole micrometres.
    pub(crate) const fn micrometres(count: i64) -> Self {
        Self(count)
    }

    /// Whole micrometres.
    pub(crate) const fn as_micrometres(self) -> i64 {
        self.0
    }

    /// Millimetres, for drawing and display.
    pub fn millimetres(self) -> f64 {
        self.0 as f64 / 1_000.0
    }

    /// PDF points, 1/72 in (ISO 32000-1, 8.3.2.3).
    pub fn points(self) -> f32 {
        (self.0 as f64 * 72.0 / PER_INCH as f64) as f32
    }
}

/// Reads an unsigned decimal as whole micrometres of a unit.
fn micrometres(digits: &str, unit: i64) -> Option<i64> {
    let ten_thousandths = scaled(digits.trim(), 4)?;
    Some((ten_thousandths * unit + 5_000) / 10_000)
}

impl FromStr for Length {
    type Err = LengthError;

    /// Reads `63.5mm`, `2.5in` or a bare number of millimetres.
    fn from_str(given: &str) -> Result<Self, LengthError> {
        let text = given.trim().to_ascii_lowercase();
        let value = match text.strip_suffix("in") {
            Some(digits) => micrometres(digits, PER_INCH),
            None => micrometres(text.strip_suffix("mm").unwrap_or(&text), 1_000),
        };
        value
            .filter(|&micrometres| micrometres <= LONGEST)
            .map(Self)
            .ok_or_else(|| LengthError(given.to_owned()))
    }
}

impl fmt::Display for Length {
    /// Writes millimetres without needless zeros: `63.5mm`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}mm", self.millimetres()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn millimetres_and_inches_are_read_exactly_and_nothing_else() {
        // 1 in = 25.4 mm exactly (international inch, 1959).
        assert_eq!("63.5".parse(), Ok(Length::micrometres(63_500)));
        assert_eq!("63.5 mm".parse(), Ok(Length::micrometres(63_500)));
        assert_eq!("2.5in".parse(), Ok(Length::micrometres(63_500)));
        assert_eq!("2.625in".parse(), Ok(Length::micrometres(66_675)));
        for wrong in ["", "mm", "in", "-3", "1e3", "3,5", "2001mm", "12345", "1.23456", "\u{661}mm", "9999in"]
        {
            assert!(wrong.parse::<Length>().is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_length_reads_back_as_written() {
        for text in ["63.5mm", "0mm", "66.675mm", "2000mm"] {
            assert_eq!(text.parse::<Length>().unwrap().to_string(), text);
        }
    }

    #[test]
    fn an_inch_is_seventy_two_points() {
        assert!((Length::micrometres(25_400).points() - 72.0).abs() < 1e-4);
    }
}
