//! Whole numbers on the command line: `14`, and minutes as `75`, `75 min`, `1 h 15 min`.

use std::fmt::Display;
use std::ops::RangeInclusive;
use std::str::FromStr;

use crate::values::time::duration;

/// Reads a whole number within a range; the error names the range.
pub(in crate::cli) fn whole<T: FromStr + PartialOrd + Display + Copy>(
    range: RangeInclusive<T>,
) -> impl Fn(&str) -> Result<T, String> + Clone {
    move |given| {
        let number = given.trim().parse().ok().filter(|number| range.contains(number));
        number.ok_or_else(|| format!("write a whole number, {} to {}", range.start(), range.end()))
    }
}

/// Reads up to `MOST` whole minutes.
pub(in crate::cli) fn minutes<const MOST: u32>(given: &str) -> Result<u32, String> {
    duration::minutes(given).filter(|minutes| *minutes <= MOST).ok_or_else(|| {
        format!(
            "\u{201c}{}\u{201d} is not whole minutes, 0 to {MOST}, such as 75, 75 min or 1 h 15 min",
            given.trim()
        )
    })
}
