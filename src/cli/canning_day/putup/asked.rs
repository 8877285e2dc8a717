//! What the questions of one batch share: what is known so far, and how an answer is kept.

use crate::cli::canning_day::putup::told::Told;
use crate::cli::context::Context;
use crate::cli::talk::ask::{Asker, Reply};
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::canner::Canner;

/// A fact of one load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LoadFact {
    Pressure,
    Vent,
    Minutes,
    Drops,
    Acid,
    LidLot,
    Out,
    WentWrong,
}

/// The questions of one batch.
pub(super) struct Questions<'a> {
    pub(super) ledger: &'a Ledger,
    pub(super) ctx: &'a Context,
    pub(super) asker: &'a Asker,
    /// What the flags said themselves: it cannot be answered otherwise.
    pub(super) said: &'a Told,
    /// What need not be asked: what the flags said, and what was chosen the last time.
    pub(super) flags: Told,
    /// What is told so far.
    pub(super) told: Told,
    pub(super) canners: Vec<Canner>,
}

/// Keeps an answer.
pub(super) fn keep<T>(answer: Reply<T>, put: impl FnOnce(T)) -> Reply<()> {
    match answer {
        Reply::Given(value) => {
            put(value);
            Reply::Given(())
        }
        Reply::Back => Reply::Back,
    }
}
