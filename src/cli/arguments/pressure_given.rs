//! Pressures as people type them, with the words they used.

use crate::values::measures::pressure::{Pressure, PressureError};

/// A pressure and the words it was typed in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::cli) struct PressureGiven(pub(in crate::cli) Pressure, pub(in crate::cli) String);

impl std::str::FromStr for PressureGiven {
    type Err = PressureError;

    fn from_str(given: &str) -> Result<Self, PressureError> {
        given.parse().map(|pressure| Self(pressure, given.trim().to_owned()))
    }
}

impl std::fmt::Display for PressureGiven {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.1)
    }
}
