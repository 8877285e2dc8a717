//! Whole numbers on the command line.

use std::fmt::Display;
use std::ops::RangeInclusive;
use std::str::FromStr;

/// Reads a whole number within a range; the error names the range.
pub(in crate::cli) fn whole<T: FromStr + PartialOrd + Display + Copy>(
    range: RangeInclusive<T>,
) -> impl Fn(&str) -> Result<T, String> + Clone {
    move |given| {
        let number = given.trim().parse().ok().filter(|number| range.contains(number));
        number.ok_or_else(|| format!("write a whole number, {} to {}", range.start(), range.end()))
    }
}
