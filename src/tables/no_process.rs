//! Foods that must not be canned, or that have no process at all.

use std::fmt;
use std::sync::OnceLock;

/// One food by its words, and why it has no process.
#[derive(Debug, Clone, PartialEq, Eq, serde::Deserialize)]
pub struct NoProcessRow {
    /// The words for it, in lower case.
    pub words: String,
    /// Why there is no process, and what to do with the food instead.
    pub why: String,
    /// Who says so; the pages were seen as reprints.
    pub source: String,
}

impl fmt::Display for NoProcessRow {
    /// Writes the reason, and who says so in brackets.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ({})", self.why, self.source)
    }
}

/// Every row, in the order of the table.
pub fn all() -> &'static [NoProcessRow] {
    static ROWS: OnceLock<Vec<NoProcessRow>> = OnceLock::new();
    ROWS.get_or_init(|| crate::tables::rows(include_str!("data/no_process.tsv"), "no_process.tsv"))
}
