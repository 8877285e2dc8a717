//! Pressures as people tell them, with the words they used.

use crate::rules::pressure::{Pressure, PressureError};

/// A pressure and the words it was told in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct PressureTold(pub(super) Pressure, pub(super) String);

impl std::str::FromStr for PressureTold {
    type Err = PressureError;

    fn from_str(given: &str) -> Result<Self, PressureError> {
        given.parse().map(|pressure| Self(pressure, given.trim().to_owned()))
    }
}
