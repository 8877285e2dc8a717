//! Foods as the process tables name them.

use std::fmt;
use std::str::FromStr;

/// Longest key of a food.
const MAX_LENGTH: usize = 60;

/// The key of a food: kebab-case, such as `green-beans`.
///
/// The key may be one of the tables' own or one the household gave to a process
/// it added; whether the key is known, only the table of foods can say.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
pub struct FoodId(String);

/// Says why a text is not the key of a food.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "\u{201c}{0}\u{201d} is not the key of a food; write small letters, digits and single hyphens, such as green-beans (at most 60)"
)]
pub struct FoodIdError(pub String);

impl FoodId {
    /// The key itself.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl FromStr for FoodId {
    type Err = FoodIdError;

    fn from_str(given: &str) -> Result<Self, FoodIdError> {
        let text = given.trim();
        let part = |part: &str| {
            !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit())
        };
        if text.len() > MAX_LENGTH || !text.split('-').all(part) {
            return Err(FoodIdError(given.to_owned()));
        }
        Ok(Self(text.to_owned()))
    }
}

impl<'de> serde::Deserialize<'de> for FoodId {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(serde::de::Error::custom)
    }
}

impl fmt::Display for FoodId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_is_kebab_case_and_nothing_else() {
        assert_eq!("green-beans".parse::<FoodId>().unwrap().as_str(), "green-beans");
        assert!("a".repeat(60).parse::<FoodId>().is_ok());
        let long = "a".repeat(61);
        for wrong in ["", "-", "green beans", "Green-Beans", "green--beans", "-a", "a-", "ä", long.as_str()]
        {
            assert!(wrong.parse::<FoodId>().is_err(), "{wrong}");
        }
    }
}
