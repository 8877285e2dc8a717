//! What is on record of a batch, or of all of them.

use std::collections::HashMap;

use serde::Serialize;

use crate::answers::streamed::Streamed;
use crate::ledger::batch::batch_story::{BatchLine, BatchStory};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::live::Which;
use crate::rules::jar::keeps::Keeps;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::time::clock::Clock;

/// A batch with its loads and jars.
#[derive(Serialize)]
pub(crate) struct Answer {
    #[serde(flatten)]
    pub(crate) story: BatchStory,
    /// Of the jars in the house.
    #[serde(skip)]
    keeps: HashMap<JarCode, Keeps>,
}

impl Answer {
    pub(crate) fn read(ledger: &Ledger, code: BatchCode, clock: Clock) -> Result<Self, LedgerError> {
        ledger.at_one_moment(|ledger| {
            let live = ledger.live_jars(&Which { batch: Some(code), ..Which::default() })?;
            let keeps = live.iter().map(|live| (live.jar.code, live.keeps(clock.now))).collect();
            Ok(Self { story: ledger.batch_story(code)?, keeps })
        })
    }

    /// Until when a jar of the batch is to be eaten.
    pub(crate) fn keeps(&self, jar: &Jar) -> Keeps {
        self.keeps.get(&jar.code).copied().unwrap_or(Keeps::BestBy(jar.best_by))
    }
}

/// Every batch, in a line each.
#[derive(Serialize)]
pub(crate) struct All<'a> {
    pub(crate) batches: Streamed<'a, BatchLine>,
}

impl<'a> All<'a> {
    pub(crate) fn of(ledger: &'a Ledger) -> Self {
        Self { batches: Streamed::new(|take| ledger.each_batch(take)) }
    }
}
