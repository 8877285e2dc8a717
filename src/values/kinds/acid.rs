//! Which acid went into the jars, and how it is written down.

use std::fmt;
use std::str::FromStr;

use crate::values::names::named::named_enum;

named_enum! {
    /// Which acid went into the jars.
    pub enum Acid as "an acid" {
        /// Known to have had none.
        Nothing = "none",
        /// Bottled lemon juice.
        LemonJuice = "lemon-juice",
        /// Citric acid.
        CitricAcid = "citric-acid",
        /// Bottled lime juice.
        LimeJuice = "lime-juice",
        /// Vinegar of 5 % acidity.
        Vinegar = "vinegar",
    }
}

/// What was written down about the acid of a load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AcidRecord {
    /// The acid.
    pub acid: Acid,
    /// Whether every jar got the full measure its recipe or process asks for.
    pub full_measure: bool,
}

/// Says why a text is no record of acid.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "\u{201c}{0}\u{201d} is not an acid; write lemon-juice, citric-acid, lime-juice, vinegar or none, or lemon-juice:short for less than the full measure"
)]
pub struct AcidRecordError(pub String);

/// What follows the acid where the jars got less than the full measure.
const SHORT: &str = "short";

impl FromStr for AcidRecord {
    type Err = AcidRecordError;

    /// Reads `lemon-juice`, `lemon-juice:short` or `none`.
    fn from_str(given: &str) -> Result<Self, AcidRecordError> {
        let refuse = || AcidRecordError(given.to_owned());
        let (acid, measure) = given.split_once(':').unwrap_or((given, ""));
        let acid: Acid = acid.parse().map_err(|_| refuse())?;
        match measure.trim() {
            "" if !given.contains(':') => Ok(Self { acid, full_measure: acid != Acid::Nothing }),
            SHORT if acid != Acid::Nothing => Ok(Self { acid, full_measure: false }),
            _ => Err(refuse()),
        }
    }
}

impl fmt::Display for AcidRecord {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self { acid: Acid::Nothing, .. } | Self { full_measure: true, .. } => f.pad(self.acid.as_str()),
            Self { acid, full_measure: false } => f.pad(&format!("{acid}:{SHORT}")),
        }
    }
}

impl Acid {
    /// The acid in a sentence.
    pub(crate) const fn in_words(self) -> &'static str {
        match self {
            Self::Nothing => "no acid",
            Self::LemonJuice => "bottled lemon juice",
            Self::CitricAcid => "citric acid",
            Self::LimeJuice => "bottled lime juice",
            Self::Vinegar => "5% vinegar",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_record_of_acid_is_read_and_written_back() {
        let record = |acid, full_measure| Ok(AcidRecord { acid, full_measure });
        assert_eq!("lemon-juice".parse(), record(Acid::LemonJuice, true));
        assert_eq!("Citric-Acid : short".replace(" ", "").parse(), record(Acid::CitricAcid, false));
        assert_eq!("none".parse(), record(Acid::Nothing, false));
        for text in ["lemon-juice", "citric-acid", "lime-juice", "vinegar", "none", "vinegar:short"] {
            assert_eq!(text.parse::<AcidRecord>().unwrap().to_string(), text);
        }
        for wrong in ["", "lemon", "vinegar:", "none:short", "vinegar:half", "short"] {
            assert!(wrong.parse::<AcidRecord>().is_err(), "{wrong}");
        }
    }
}
