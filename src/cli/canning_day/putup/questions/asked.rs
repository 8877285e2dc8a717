//! What the questions of one batch share: what is known so far, and how an answer is kept.

use crate::cli::canning_day::putup::given::Given;
use crate::cli::context::Context;
use crate::cli::talk::ask::{Asker, Reply};
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::canner::Canner;

/// A fact of one load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::cli::canning_day::putup) enum LoadFact {
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
pub(in crate::cli::canning_day::putup) struct Questions<'a> {
    pub(in crate::cli::canning_day::putup) ledger: &'a Ledger,
    pub(in crate::cli::canning_day::putup) ctx: &'a Context,
    pub(in crate::cli::canning_day::putup) asker: &'a Asker,
    /// What the flags said themselves: it cannot be answered otherwise.
    pub(in crate::cli::canning_day::putup) said: &'a Given,
    /// What need not be asked: what the flags said, and what was chosen the last time.
    pub(in crate::cli::canning_day::putup) flags: Given,
    /// What is given so far.
    pub(in crate::cli::canning_day::putup) given: Given,
    pub(in crate::cli::canning_day::putup) canners: Vec<Canner>,
}

pub(in crate::cli::canning_day::putup) fn keep<T>(answer: Reply<T>, put: impl FnOnce(T)) -> Reply<()> {
    match answer {
        Reply::Given(value) => {
            put(value);
            Reply::Given(())
        }
        Reply::Back => Reply::Back,
    }
}
