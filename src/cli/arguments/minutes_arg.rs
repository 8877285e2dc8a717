//! Minutes on the command line: `75`, `75 min`, `1 h 15 min`.

use crate::values::time::duration;

/// Reads up to `MOST` whole minutes.
pub(in crate::cli) fn minutes<const MOST: u32>(given: &str) -> Result<u32, String> {
    duration::minutes(given).filter(|minutes| *minutes <= MOST).ok_or_else(|| {
        format!(
            "\u{201c}{}\u{201d} is not whole minutes, 0 to {MOST}, such as 75, 75 min or 1 h 15 min",
            given.trim()
        )
    })
}
