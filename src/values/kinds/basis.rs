//! How sure a figure is, and what must be said beside it.

use crate::values::names::named::named_enum;

named_enum! {
    /// How sure a figure is.
    pub enum Basis as "a basis" {
        /// Seen on a reprint of the publication; that a later edition left it unchanged is an assumption.
        Reprint = "reprint",
        /// Set down from memory of the publication.
        Memory = "memory",
        /// Seen only on a page that restates the publication, or in a text that is no standard.
        Secondary = "secondary",
        /// Common practice, without a published source.
        CommonPractice = "common-practice",
        /// Entered by the household with a publication, page and date of its own.
        Household = "household",
    }
}

impl Basis {
    /// What must be said beside a figure of this basis, if anything.
    pub const fn warning(self) -> Option<&'static str> {
        match self {
            Self::Reprint => None,
            Self::Memory => Some("not seen in print: ask your extension service"),
            Self::Secondary => Some("seen only at second hand: check with your extension service"),
            Self::CommonPractice => Some("common practice, no source"),
            Self::Household => Some("your own process; no table here confirms it"),
        }
    }
}
