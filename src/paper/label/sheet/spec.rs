//! The measurements of a label sheet.

use crate::paper::label::sheet::length::Length;
use crate::paper::label::sheet::page::Page;

/// The measurements of a label sheet, as a household gives them and the ledger keeps them.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SheetSpec {
    /// What the sheet is called.
    pub name: String,
    /// The paper.
    #[serde(with = "as_text")]
    pub page: Page,
    /// Whether the labels are discs; then `width` and `height` are the diameter.
    pub round: bool,
    /// Width of one label.
    #[serde(with = "as_text")]
    pub width: Length,
    /// Height of one label.
    #[serde(with = "as_text")]
    pub height: Length,
    /// Radius of the label's corners.
    #[serde(with = "as_text")]
    pub corner: Length,
    /// Labels side by side.
    pub columns: u32,
    /// Labels one below the other.
    pub rows: u32,
    /// From the left edge of one label to that of the next.
    #[serde(with = "as_text")]
    pub pitch_across: Length,
    /// From the top edge of one label to that of the next.
    #[serde(with = "as_text")]
    pub pitch_down: Length,
    /// From the left edge of the page to the first label.
    #[serde(with = "as_text")]
    pub left: Length,
    /// From the top edge of the page to the first label.
    #[serde(with = "as_text")]
    pub top: Length,
}

/// Serialises through `Display` and `FromStr`.
mod as_text {
    use std::fmt::Display;
    use std::str::FromStr;

    use serde::{Deserialize, Deserializer, Serializer, de::Error};

    pub(crate) fn serialize<T: Display, S: Serializer>(value: &T, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(value)
    }

    pub fn deserialize<'de, T, D>(deserializer: D) -> Result<T, D::Error>
    where
        T: FromStr<Err: Display>,
        D: Deserializer<'de>,
    {
        String::deserialize(deserializer)?.parse().map_err(D::Error::custom)
    }
}
