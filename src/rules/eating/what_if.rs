//! A change of appetite to try out on a season plan.

use std::fmt;
use std::str::FromStr;

/// A change of appetite to try out: `+20%`, `-50%`; -100 to +900 %.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct WhatIf {
    percent: i32,
}

/// Says that a text is not a change in per cent.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\u{201c}{0}\u{201d} is not a change; write it like +20% or -50%, from -100% to +900%")]
pub struct WhatIfError(pub String);

impl WhatIf {
    /// What use is multiplied by.
    pub fn factor(self) -> f64 {
        f64::from(100 + self.percent) / 100.0
    }
}

impl FromStr for WhatIf {
    type Err = WhatIfError;

    fn from_str(given: &str) -> Result<Self, WhatIfError> {
        let refuse = || WhatIfError(given.to_owned());
        let text = given.trim().strip_suffix('%').ok_or_else(refuse)?;
        if !text.starts_with(['+', '-']) {
            return Err(refuse());
        }
        let percent = text.parse().ok().filter(|percent| (-100..=900).contains(percent));
        Ok(Self { percent: percent.ok_or_else(refuse)? })
    }
}

impl fmt::Display for WhatIf {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:+}%", self.percent)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_is_a_signed_whole_per_cent() {
        let factor = |text: &str| text.parse::<WhatIf>().map(WhatIf::factor);
        assert_eq!(factor("+20%"), Ok(1.2));
        assert_eq!((factor("-100%"), factor("+900%")), (Ok(0.0), Ok(10.0)));
        assert_eq!("-5%".parse::<WhatIf>().unwrap().to_string(), "-5%");
        for wrong in ["", "20%", "+20", "+%", "-101%", "+901%", "+1.5%", "++5%", "+-5%", "+99999999999%"] {
            assert!(factor(wrong).is_err(), "{wrong}");
        }
    }
}
