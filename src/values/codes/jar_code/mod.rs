//! Batch codes `26-041` and jar codes `26-041-03-3`.
//!
//! May use: nothing.
//!
//! The last digit of a jar code is a check digit by ISO/IEC 7064 MOD 11,10 over
//! all the digits before it, which catches every single wrong digit and about
//! 98 in 100 swaps of two neighbours. A hyphen in the wrong place is no digit, so
//! it does not catch that.

use std::fmt;
use std::str::FromStr;

/// Largest batch number in a year and jar number in a batch.
const MAX_NUMBER: u32 = 9_999_999;

/// Names a batch: the year's last two digits and its number in that year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BatchCode {
    /// Last two digits of the year, 0 to 99.
    pub year: u8,
    /// Number in the year, from 1.
    pub number: u32,
}

/// Names a jar: its batch and its number in the batch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct JarCode {
    /// The batch.
    pub batch: BatchCode,
    /// Number in the batch, from 1.
    pub number: u32,
}

/// Says why a text is not a batch or jar code.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CodeError {
    /// The text has not the shape of the code.
    #[error("\u{201c}{given}\u{201d} is not {what}; write it like {like}")]
    Shape {
        /// The text given.
        given: String,
        /// "a batch code" or "a jar code".
        what: &'static str,
        /// An example.
        like: &'static str,
    },
    /// The check digit does not fit the rest.
    #[error("the check digit of \u{201c}{given}\u{201d} does not fit: one of its digits is wrong")]
    CheckDigit {
        /// The text given.
        given: String,
    },
}

/// The ISO/IEC 7064 MOD 11,10 check digit of the ASCII digits in a text.
pub(crate) fn check_digit(text: &str) -> u8 {
    let mut check = 5;
    for digit in text.bytes().filter(u8::is_ascii_digit).map(|byte| byte - b'0') {
        let doubled = if check == 0 { 10 } else { check } * 2 % 11;
        check = (doubled + digit) % 10;
    }
    let doubled = if check == 0 { 10 } else { check } * 2 % 11;
    (11 - doubled) % 10
}

/// Digits a batch number is padded to.
const BATCH_WIDTH: usize = 3;

/// Digits a jar number is padded to.
const JAR_WIDTH: usize = 2;

/// Parses a decimal of ASCII digits, 1 to [`MAX_NUMBER`], padded to `width` or not at all.
///
/// Zeros in front of a wider number are refused: 1041 misread as 0041 would
/// otherwise lose a digit from under the check digit, and could slip past it.
fn number(text: &str, width: usize) -> Option<u32> {
    if text.len() > width && text.starts_with('0') { None } else { plain_number(text) }
}

/// Parses a number of a jar or batch, 1 to 9,999,999, of ASCII digits.
pub(crate) fn plain_number(text: &str) -> Option<u32> {
    if !text.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    text.parse().ok().filter(|number| (1..=MAX_NUMBER).contains(number))
}

/// Parses the two digits of a year.
fn year(text: &str) -> Option<u8> {
    (text.len() == 2 && text.bytes().all(|byte| byte.is_ascii_digit())).then(|| text.parse().ok())?
}

/// The code at the end of a link as a label may carry it.
pub(in crate::values::codes) fn in_link(text: &str) -> &str {
    match text.split_once("://") {
        Some((_, rest)) => {
            let path = rest.split(['?', '#']).next().unwrap_or(rest);
            path.trim_end_matches('/').rsplit('/').next().unwrap_or(text)
        }
        None => text,
    }
}

impl BatchCode {
    fn parse(text: &str) -> Option<Self> {
        let (left, right) = text.split_once('-')?;
        Some(Self { year: year(left)?, number: number(right, BATCH_WIDTH)? })
    }
}

impl JarCode {
    /// The code without its check digit.
    fn unchecked(self) -> String {
        format!("{:02}-{:03}-{:02}", self.batch.year, self.batch.number, self.number)
    }

    /// The check digit.
    pub fn check(self) -> u8 {
        check_digit(&self.unchecked())
    }
}

impl FromStr for BatchCode {
    type Err = CodeError;

    fn from_str(given: &str) -> Result<Self, CodeError> {
        Self::parse(given.trim()).ok_or_else(|| CodeError::Shape {
            given: given.to_owned(),
            what: "a batch code",
            like: "26-041",
        })
    }
}

impl FromStr for JarCode {
    type Err = CodeError;

    fn from_str(given: &str) -> Result<Self, CodeError> {
        let shape = || CodeError::Shape { given: given.to_owned(), what: "a jar code", like: "26-041-03-3" };
        let text = in_link(given.trim());
        let mut fields = text.rsplitn(3, '-');
        let check = fields.next().filter(|field| field.len() == 1).ok_or_else(shape)?;
        let jar = fields.next().and_then(|field| number(field, JAR_WIDTH)).ok_or_else(shape)?;
        let batch = fields.next().and_then(BatchCode::parse).ok_or_else(shape)?;
        let check: u8 = check
            .parse()
            .ok()
            .filter(|_| check.bytes().all(|byte| byte.is_ascii_digit()))
            .ok_or_else(shape)?;
        let code = Self { batch, number: jar };
        if code.check() != check {
            return Err(CodeError::CheckDigit { given: given.to_owned() });
        }
        Ok(code)
    }
}

impl fmt::Display for BatchCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{:02}-{:03}", self.year, self.number))
    }
}

impl fmt::Display for JarCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut code = self.unchecked();
        let check = check_digit(&code);
        code.extend(['-', char::from(b'0' + check)]);
        f.pad(&code)
    }
}

impl serde::Serialize for BatchCode {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl serde::Serialize for JarCode {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

#[cfg(test)]
mod tests;
