//! Days as people tell them on the command line.

use chrono::NaiveDate;

use super::context::Context;
use super::errors::{Code, Failure};
use crate::rules::civil_day::parse_day;

/// Reads a day, `today` and the like being those of the command.
pub(super) fn day(given: &str, ctx: &Context) -> Result<NaiveDate, Failure> {
    parse_day(given, ctx.clock.today()).map_err(|error| Failure {
        code: Code::Usage,
        message: error.to_string(),
        hint: None,
    })
}
