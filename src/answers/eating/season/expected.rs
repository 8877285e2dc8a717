//! Use until the next season.

use crate::rules::eating::season::ExpectedUse;

/// Use until the next season: the interval, its middle, and the number that is enough.
#[derive(Debug, serde::Serialize)]
pub(crate) struct Expected {
    pub(crate) low: u32,
    pub(crate) middle: u32,
    pub(crate) enough: u32,
}

impl Expected {
    pub(super) fn of(expected: ExpectedUse) -> Self {
        let ExpectedUse { low, middle, enough } = expected;
        Self { low, middle, enough }
    }
}
