//! How sure a plan for the season should be to last.

use std::fmt;
use std::str::FromStr;

/// How sure a plan should be to last, 0.5 to 0.999.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Sureness(f64);

/// Says that a text is not a sureness.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\u{201c}{0}\u{201d} is not a sureness; write a share such as 0.9, from 0.5 to 0.999")]
pub(crate) struct SurenessError(pub String);

impl Default for Sureness {
    /// Nine seasons in ten.
    fn default() -> Self {
        Self(0.9)
    }
}

impl Sureness {
    /// The share of seasons the plan should last.
    pub const fn share(self) -> f64 {
        self.0
    }
}

impl FromStr for Sureness {
    type Err = SurenessError;

    fn from_str(given: &str) -> Result<Self, SurenessError> {
        given
            .trim()
            .parse()
            .ok()
            .filter(|share| (0.5..=0.999).contains(share))
            .map(Self)
            .ok_or_else(|| SurenessError(given.to_owned()))
    }
}

impl fmt::Display for Sureness {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_share_from_a_half_to_nearly_one_is_read() {
        for right in ["0.5", "0.9", " .95", "0.999"] {
            assert!(right.parse::<Sureness>().is_ok(), "{right}");
        }
        assert_eq!(Sureness::default().to_string(), "0.9");
        for wrong in ["", "0.49", "1", "90", "90%", "nan", "inf", "-0.9", "0,9"] {
            assert!(wrong.parse::<Sureness>().is_err(), "{wrong}");
        }
    }
}
