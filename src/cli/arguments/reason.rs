//! Reasons given on the command line.

/// Longest reason, in characters.
const LONGEST: usize = 1_000;

/// A reason: some words, at most 1,000 characters.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::cli) struct Reason(String);

impl Reason {
    pub(in crate::cli) fn as_str(&self) -> &str {
        &self.0
    }
}

impl std::str::FromStr for Reason {
    type Err = String;

    fn from_str(given: &str) -> Result<Self, String> {
        let words = given.split_whitespace().collect::<Vec<_>>().join(" ");
        match words.chars().count() {
            0 => Err("say why, in a few words".to_owned()),
            long if long > LONGEST => {
                Err(format!("a reason has at most {LONGEST} characters, and this one has {long}"))
            }
            _ => Ok(Self(words)),
        }
    }
}

impl std::fmt::Display for Reason {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reason_is_some_words_and_not_a_book() {
        assert_eq!(" swollen \n lid ".parse::<Reason>().unwrap().as_str(), "swollen lid");
        assert!("x".repeat(1_000).parse::<Reason>().is_ok());
        assert!("x".repeat(1_001).parse::<Reason>().is_err());
        assert!(" \t".parse::<Reason>().is_err());
    }
}
