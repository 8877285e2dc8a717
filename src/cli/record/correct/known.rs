//! Values that may turn out not to be known.

use std::fmt;
use std::str::FromStr;

use crate::ledger::amend::correct::Amendment;
use crate::ledger::entry::correct_field::Field;

/// A value, or that nobody knows it: `unknown`.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Known<T>(pub(super) Option<T>);

impl<T: FromStr> FromStr for Known<T> {
    type Err = T::Err;

    fn from_str(given: &str) -> Result<Self, T::Err> {
        if given.trim() == "unknown" {
            return Ok(Self(None));
        }
        given.trim().parse().map(|value| Self(Some(value)))
    }
}

impl<T: fmt::Display> Known<T> {
    /// Amends a field to it, where it was given.
    pub(super) fn amends(given: Option<&Self>, field: Field) -> Option<Amendment> {
        given.map(|Self(value)| Amendment::new(field, value.as_ref()))
    }
}

/// Whole minutes, 0 to `MOST`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Minutes<const MOST: u32>(pub(super) u32);

impl<const MOST: u32> FromStr for Minutes<MOST> {
    type Err = String;

    fn from_str(given: &str) -> Result<Self, String> {
        let minutes = given.parse().ok().filter(|minutes| *minutes <= MOST).map(Self);
        minutes.ok_or_else(|| format!("write whole minutes, 0 to {MOST}, or unknown"))
    }
}

impl<const MOST: u32> fmt::Display for Minutes<MOST> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}
