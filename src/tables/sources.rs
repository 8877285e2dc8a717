//! The publications the tables are taken from.

use std::fmt;
use std::sync::{LazyLock, OnceLock};

/// A publication and the section of it that a figure stands in.
#[derive(Debug, Clone, PartialEq, Eq, serde::Deserialize)]
pub struct Source {
    #[serde(rename = "source")]
    key: String,
    /// Title of the publication.
    pub publication: String,
    /// Section within it.
    pub section: String,
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}", self.publication, self.section)
    }
}

/// The key of a row of the table of sources, read from there only when it is shown; deserializing it fails on an unknown
/// key.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct SourceRef(&'static str);

impl serde::Serialize for SourceRef {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl std::ops::Deref for SourceRef {
    type Target = Source;

    fn deref(&self) -> &Source {
        all().iter().find(|source| source.key == self.0).expect("a key was read from this table")
    }
}

impl fmt::Debug for SourceRef {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0)
    }
}

impl fmt::Display for SourceRef {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&**self, f)
    }
}

impl<'de> serde::Deserialize<'de> for SourceRef {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let key = String::deserialize(deserializer)?;
        KEYS.iter()
            .find(|known| **known == key)
            .map(|known| Self(known))
            .ok_or_else(|| serde::de::Error::custom(format!("no source \u{201c}{key}\u{201d}")))
    }
}

const TEXT: &str = include_str!("data/sources.tsv");

/// The first column, read without the others: every row of the other tables is checked against it.
static KEYS: LazyLock<Vec<&str>> =
    LazyLock::new(|| crate::tables::heads_and_lines(TEXT).1.map(crate::tables::key).collect());

/// Every source, in the order of the table.
pub fn all() -> &'static [Source] {
    static ROWS: OnceLock<Vec<Source>> = OnceLock::new();
    ROWS.get_or_init(|| crate::tables::rows(TEXT, "sources.tsv"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_source_has_a_title_and_a_section_and_is_listed_once() {
        let mut keys: Vec<&str> = all().iter().map(|source| source.key.as_str()).collect();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), all().len());
        assert!(all().iter().all(|source| !source.publication.is_empty() && !source.section.is_empty()));
    }

    #[test]
    fn no_table_carries_a_web_address() {
        for text in [
            include_str!("data/sources.tsv"),
            include_str!("data/foods.tsv"),
            include_str!("data/processes.tsv"),
            include_str!("data/notes.tsv"),
            include_str!("data/acids.tsv"),
            include_str!("data/figures.tsv"),
            include_str!("data/spoilage.tsv"),
            include_str!("data/words.tsv"),
            include_str!("data/yields.tsv"),
            include_str!("data/no_process.tsv"),
        ] {
            for sign in ["://", "www.", ".com", ".org", ".edu", ".gov"] {
                assert!(!text.contains(sign), "{sign}");
            }
        }
    }
}
