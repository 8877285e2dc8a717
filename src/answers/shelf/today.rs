//! What is due today.

use serde::Serialize;

use crate::answers::eating::decide::ToDecide;
use crate::answers::eating::eat::{Answer, ToEat};
use crate::answers::run::{RunNow, under_way};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::rules::canning_day::run::Instant;
use crate::values::time::clock::Clock;
use crate::values::time::month::Month;

/// What is due today; nothing where there is no ledger.
#[derive(Default, Serialize)]
pub(crate) struct Today {
    /// Runs whose jars are in a canner, or out and not put up.
    pub(crate) runs: Vec<RunNow>,
    pub(crate) decide_now: Vec<ToDecide>,
    /// The first of the jars owed this month.
    pub(crate) eat_first: Vec<ToEat>,
    pub(crate) on_hold: usize,
    pub(crate) unrecorded: usize,
    /// How many jars are owed in all.
    #[serde(skip)]
    pub(crate) owed: usize,
    /// What else to bear in mind.
    #[serde(skip)]
    pub(crate) cautions: Vec<String>,
}

impl Today {
    /// Answers with `few` jars to eat first at the most.
    pub(crate) fn read(
        ledger: &Ledger,
        now: &Instant,
        clock: Clock,
        few: usize,
    ) -> Result<Self, LedgerError> {
        let runs = under_way(ledger, now)?;
        let mut eat = Answer::read(ledger, clock, Month::of(clock.today()), 0)?;
        let owed = eat.eat_first.len();
        eat.eat_first.truncate(few);
        Ok(Self {
            runs,
            decide_now: eat.decide_now,
            eat_first: eat.eat_first,
            on_hold: eat.on_hold.len(),
            unrecorded: eat.unrecorded.len(),
            owed,
            cautions: eat.cautions,
        })
    }
}
