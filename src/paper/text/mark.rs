//! What catches the eye, in color where that is wanted; the words always say it too.

/// Why something catches the eye.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// Withheld, or to be thrown away.
    Held,
    /// Its time is over.
    Overdue,
    /// Its time comes soon.
    Due,
}

impl Mark {
    /// What ends a color on a terminal.
    pub(crate) const ENDS: &'static str = "\u{1b}[0m";

    /// What begins its color on a terminal.
    pub const fn begins(self) -> &'static str {
        match self {
            Self::Held => "\u{1b}[1;31m",
            Self::Overdue => "\u{1b}[31m",
            Self::Due => "\u{1b}[33m",
        }
    }
}
