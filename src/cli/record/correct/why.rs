//! What the three kinds of record share: why one was wrong, an empty text, and times that do not fit.

use crate::cli::arguments::reason::Reason;
use crate::cli::errors::{Code, Failure};

#[derive(Debug, clap::Args)]
pub(super) struct Why {
    /// Why the record was wrong
    #[arg(long, value_name = "REASON")]
    pub(super) reason: Option<Reason>,
}

/// A text, or none where it is empty.
pub(super) fn text(given: &str) -> Option<String> {
    Some(given.trim().to_owned()).filter(|text| !text.is_empty())
}

/// Refuses a time that does not fit with the load's others.
pub(super) fn refused(what: &str) -> Failure {
    Failure::new(
        Code::Usage,
        format!("{what}; nothing was changed"),
        "look at the times again, with those on record; with its day one is written 2026-08-14T14:05",
    )
}
