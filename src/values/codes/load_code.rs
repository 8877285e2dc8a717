//! Load codes `26-041/2`: a batch and which of its canner-fulls.

use std::fmt;
use std::str::FromStr;

use crate::values::codes::jar_code::{BatchCode, CodeError};

/// Largest number of a load in its batch.
const MAX_NUMBER: u32 = 9_999;

/// Names a load: its batch and its number in the batch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LoadCode {
    /// The batch.
    pub batch: BatchCode,
    /// Number in the batch, from 1.
    pub number: u32,
}

impl FromStr for LoadCode {
    type Err = CodeError;

    fn from_str(given: &str) -> Result<Self, CodeError> {
        let shape = || CodeError::Shape { given: given.to_owned(), what: "a load", like: "26-041/2" };
        let (batch, number) = given.trim().split_once('/').ok_or_else(shape)?;
        let batch = batch.parse().map_err(|_| shape())?;
        let number = Some(number)
            .filter(|digits| !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit()))
            .and_then(|digits| digits.parse().ok())
            .filter(|number| (1..=MAX_NUMBER).contains(number))
            .ok_or_else(shape)?;
        Ok(Self { batch, number })
    }
}

impl fmt::Display for LoadCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}/{}", self.batch, self.number))
    }
}

impl serde::Serialize for LoadCode {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_load_reads_back_as_written() {
        for (given, written) in [
            ("26-041/2", "26-041/2"),
            (" 26-41/02 ", "26-041/2"),
            ("26-1234/9999", "26-1234/9999"),
            ("26-041/1", "26-041/1"),
        ] {
            assert_eq!(given.parse::<LoadCode>().unwrap().to_string(), written);
        }
    }

    #[test]
    fn nothing_else_is_a_load() {
        for wrong in [
            "",
            "/",
            "26-041",
            "26-041/",
            "26-041/0",
            "26-041/10000",
            "26-041/-1",
            "26-041/+1",
            "26-041/1/2",
            "x/1",
            "26-041/\u{661}",
            "26-041-03-3/1",
            "26-041/99999999999999999999",
        ] {
            assert!(wrong.parse::<LoadCode>().is_err(), "{wrong}");
        }
    }
}
