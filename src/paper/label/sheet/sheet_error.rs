//! Why measurements do not make a label sheet.

use crate::paper::label::sheet::length::Length;
use crate::paper::label::sheet::page::PageError;

/// Says why measurements do not make a label sheet.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SheetError {
    /// The page is not one.
    #[error(transparent)]
    Page(#[from] PageError),
    /// A word of the description is not known.
    #[error(
        "\u{201c}{0}\u{201d} does not describe a label sheet; use page=a4 label=80x45 grid=2x5, and if need be round=58 (in place of label), pitch=84x50, margin=20x30 (left, top) and corner=2, or roll=64x44 for a roll"
    )]
    Word(String),
    /// A part without which there is no sheet is missing.
    #[error("the sheet needs {0}")]
    Missing(&'static str),
    /// The name is empty, long or holds characters that do not print.
    #[error("\u{201c}{0}\u{201d} cannot name a sheet; use 1 to 40 letters, digits, spaces and hyphens")]
    Name(String),
    /// The name is that of a built-in sheet.
    #[error("\u{201c}{0}\u{201d} is a built-in sheet; choose another name")]
    Taken(String),
    /// Rows or columns out of range.
    #[error("{columns} across and {rows} down is not a sheet; use 1 to 1,000 labels a page")]
    Count {
        /// Labels side by side.
        columns: u32,
        /// Labels one below the other.
        rows: u32,
    },
    /// The label is too small for a code that scans and words that can be read.
    #[error(
        "a label of {width} by {height} is too small for a code that scans and words that can be read; use at least 38 by 20 mm, or 38 mm across if round"
    )]
    Small {
        /// Width given.
        width: Length,
        /// Height given.
        height: Length,
    },
    /// A round label is not round.
    #[error("a round label has one diameter, not {width} by {height}")]
    Oval {
        /// Width given.
        width: Length,
        /// Height given.
        height: Length,
    },
    /// Labels overlap.
    #[error("labels {size} {way} overlap at a pitch of {pitch}")]
    Overlap {
        /// Size of the label in that direction.
        size: Length,
        /// "wide" or "high".
        way: &'static str,
        /// Pitch given.
        pitch: Length,
    },
    /// The last label runs off the page.
    #[error("the labels need {needed} {way}, the page has {has}")]
    OffPage {
        /// Margin plus all labels.
        needed: Length,
        /// "across" or "down".
        way: &'static str,
        /// The page.
        has: Length,
    },
    /// The sheet would be moved off its page.
    #[error("moved so, the labels would begin beyond the edge of the paper")]
    Beyond,
    /// A move is not one.
    #[error(
        "\u{201c}{0}\u{201d} is not a move; say it in tenths of a millimetre, such as right=4 or up=2 (at most 100)"
    )]
    Move(String),
    /// The corner is larger than half the label.
    #[error("a corner of {0} is more than half the label")]
    Corner(Length),
}
