//! What is wrong with a file, all of it at once.

use std::fmt;

/// Most problems kept; the rest are counted.
const MOST: usize = 1_000;

/// Longest piece of a cell shown.
const SHOWN: usize = 60;

/// One thing wrong at one place.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Problem {
    /// The line it begins on, from 1; none where it is about the whole file.
    pub line: Option<u64>,
    /// The column's heading, or its number.
    pub column: Option<String>,
    /// What is in the cell, shortened.
    pub cell: Option<String>,
    /// What is wrong with it.
    pub what: String,
    /// What to do.
    pub hint: Option<String>,
}

impl Problem {
    /// A problem of the whole file.
    pub(crate) fn of_file(what: impl Into<String>) -> Self {
        Self { line: None, column: None, cell: None, what: what.into(), hint: None }
    }

    /// A problem of a line.
    pub(crate) fn of_line(line: u64, what: impl Into<String>) -> Self {
        Self { line: Some(line), ..Self::of_file(what) }
    }

    /// A problem of a cell.
    pub(crate) fn of_cell(line: u64, column: &str, cell: &str, what: impl Into<String>) -> Self {
        let shown: String = if cell.chars().count() > SHOWN {
            cell.chars().take(SHOWN).chain(['…']).collect()
        } else {
            cell.to_owned()
        };
        Self { column: Some(column.to_owned()), cell: Some(shown), ..Self::of_line(line, what) }
    }

    /// With what to do about it.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {line}, ")?;
        }
        if let Some(column) = &self.column {
            write!(f, "{column}")?;
            if let Some(cell) = &self.cell {
                write!(f, " \u{201c}{cell}\u{201d}")?;
            }
            write!(f, ": ")?;
        }
        write!(f, "{}", self.what)?;
        if let Some(hint) = &self.hint {
            write!(f, " ({hint})")?;
        }
        Ok(())
    }
}

/// Every problem of a file, the first thousand in full.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Problems {
    /// The first of them.
    pub kept: Vec<Problem>,
    /// How many there are.
    pub count: usize,
}

impl Problems {
    /// Adds one.
    pub fn add(&mut self, problem: Problem) {
        self.count += 1;
        if self.kept.len() < MOST {
            self.kept.push(problem);
        }
    }

    /// Whether there is none.
    pub const fn is_empty(&self) -> bool {
        self.count == 0
    }
}

impl From<Problem> for Problems {
    fn from(problem: Problem) -> Self {
        Self { kept: vec![problem], count: 1 }
    }
}
