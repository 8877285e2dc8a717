//! Sizes of paper.

use std::fmt;
use std::str::FromStr;

use crate::paper::label::sheet::length::Length;

/// Smallest side.
const LEAST: Length = Length::mm(20);

/// A sheet of paper, upright.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Page {
    /// 8.5 × 11 in (ANSI/ASME Y14.1, size A).
    Letter,
    /// 210 × 297 mm (ISO 216).
    A4,
    /// Any other size, each side 20 mm to 2 m: the labels of a roll are pages too.
    Other {
        /// Width.
        width: Length,
        /// Height.
        height: Length,
    },
}

/// Says why a text is not a page.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "\u{201c}{0}\u{201d} is not a page; write letter, a4, or width x height such as 148x210mm (each side 20 mm to 2,000 mm)"
)]
pub struct PageError(pub String);

impl Page {
    /// Width and height.
    pub const fn size(self) -> (Length, Length) {
        match self {
            Self::Letter => (Length::micrometres(215_900), Length::micrometres(279_400)),
            Self::A4 => (Length::mm(210), Length::mm(297)),
            Self::Other { width, height } => (width, height),
        }
    }
}

/// Reads two lengths joined by `x`; a unit on the second counts for both.
pub(in crate::paper) fn pair(text: &str) -> Option<(Length, Length)> {
    let lower = text.trim().to_ascii_lowercase();
    let (left, right) = lower.split_once(['x', '\u{d7}'])?;
    let unit = if right.trim_end().ends_with("in") { "in" } else { "mm" };
    let bare = left.trim_end().ends_with(|c: char| c.is_ascii_digit());
    let left = if bare { format!("{left}{unit}") } else { left.to_owned() };
    Some((left.parse().ok()?, right.parse().ok()?))
}

impl FromStr for Page {
    type Err = PageError;

    fn from_str(given: &str) -> Result<Self, PageError> {
        match given.trim().to_ascii_lowercase().as_str() {
            "letter" => Ok(Self::Letter),
            "a4" => Ok(Self::A4),
            other => {
                let (width, height) = pair(other).ok_or_else(|| PageError(given.to_owned()))?;
                if width.min(height) < LEAST {
                    return Err(PageError(given.to_owned()));
                }
                Ok(Self::Other { width, height })
            }
        }
    }
}

impl fmt::Display for Page {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Letter => f.pad("letter"),
            Self::A4 => f.pad("a4"),
            Self::Other { width, height } => f.pad(&format!("{}x{height}", width.millimetres())),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_is_named_or_measured() {
        // ISO 216: A4 is 210 × 297 mm. ANSI/ASME Y14.1: size A is 8.5 × 11 in.
        assert_eq!("A4".parse::<Page>().unwrap().size(), (Length::mm(210), Length::mm(297)));
        assert_eq!("8.5x11in".parse::<Page>().unwrap().size(), Page::Letter.size());
        assert_eq!("148x210".parse::<Page>().unwrap().to_string(), "148x210mm");
        for wrong in ["", "a5", "10x10", "x", "210", "210x", "3000x10"] {
            assert!(wrong.parse::<Page>().is_err(), "{wrong}");
        }
    }
}
