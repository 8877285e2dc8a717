//! Days as people type them on the command line.

use chrono::NaiveDate;

use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::values::time::civil_day::{DayError, parse_day};

/// What to type where `flag` was given what is no day.
pub(in crate::cli) fn hint(flag: &str, error: &DayError, today: NaiveDate) -> String {
    let meant: Vec<String> = match error {
        DayError::NotIso { readings, .. } => readings.iter().map(|day| format!("{flag} {day}")).collect(),
        DayError::Unknown(_) | DayError::NoSuchDay(_) | DayError::OutOfRange(_) => Vec::new(),
    };
    if meant.is_empty() {
        format!("write it like {flag} {today}")
    } else {
        format!("write {}", meant.join(" or "))
    }
}

/// Reads a day, `today` and the like being those of the command.
pub(in crate::cli) fn day(given: &str, ctx: &Context) -> Result<NaiveDate, Failure> {
    parse_day(given, ctx.clock.today()).map_err(|error| Failure {
        code: Code::Usage,
        message: error.to_string(),
        hint: None,
    })
}
