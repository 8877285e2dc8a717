//! The verdict that a batch would get, before any of it is saved.

use crate::ledger::batch::put_up::{NewBatch, NewLoad};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::rules::load::load_record::LoadRecord;
use crate::rules::load::verdict::Judgement;
use crate::values::kinds::jar_size::JarSize;

impl Ledger {
    /// The verdict each load of a batch would get, in their order; writes nothing.
    ///
    /// # Errors
    /// [`LedgerError`] where a canner is not on record, or the ledger cannot be read.
    pub(crate) fn judge_before_saving(&self, batch: &NewBatch) -> Result<Vec<Judgement>, LedgerError> {
        let household = self.household_processes()?;
        let judge = |load: &NewLoad| {
            let canner = load.canner.as_ref().map(|name| self.canner(name)).transpose()?;
            let tests = match &canner {
                Some(canner) => self.gauge_tests_of(canner.id)?,
                None => Vec::new(),
            };
            let tests: Vec<_> = tests.into_iter().map(|recorded| recorded.test).collect();
            let method = canner.map(|canner| canner.method);
            let mut sizes: Vec<JarSize> = load.jars.iter().map(|&(size, _)| size).collect();
            sizes.sort_unstable();
            sizes.dedup();
            let record = LoadRecord {
                food: batch.food.clone(),
                acidity: batch.acidity,
                pack: batch.pack,
                sizes,
                method,
                altitude: load.facts.altitude,
                day: batch.put_up,
                pressure: load.facts.pressure_that_counts(method),
                vent_min: load.facts.vent_min,
                time: load.facts.run_time(),
                acid: load.facts.acid,
                trouble_noted: load.facts.has_trouble(),
                name_reason: batch.name_reason.clone(),
            };
            Ok(record.judge(&tests, &household))
        };
        batch.loads.iter().map(judge).collect()
    }
}
