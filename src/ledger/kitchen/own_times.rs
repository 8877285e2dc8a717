//! How long a canner took in the household's own loads and runs.

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::canner::Canner;
use crate::rules::canning_day::own_times::OwnTimes;

impl Ledger {
    /// Minutes from the closed vent to pressure, or from the heat to a full boil, over the loads that have them.
    pub(crate) fn come_up_times(&self, canner: &Canner) -> Result<Option<OwnTimes>, LedgerError> {
        self.come_ups(canner.id)
    }

    /// The same of the row of a canner.
    pub(in crate::ledger) fn come_ups(&self, canner: i64) -> Result<Option<OwnTimes>, LedgerError> {
        self.times_of(
            "SELECT o.come_up_min FROM load o JOIN batch b ON b.id = o.batch_id
             JOIN entry n ON n.id = b.entry_id AND n.effective = 1
             WHERE o.canner_id = ?1 AND o.come_up_min IS NOT NULL",
            canner,
        )
    }

    /// Minutes from the heat to steady steam, over the runs of a pressure canner.
    ///
    /// # Errors
    /// As [`Ledger::come_up_times`].
    pub(crate) fn heat_up_times(&self, canner: &Canner) -> Result<Option<OwnTimes>, LedgerError> {
        self.times_of(
            "SELECT (s.at - h.at + 30) / 60 FROM run r
             JOIN entry n ON n.id = r.entry_id AND n.effective = 1
             JOIN run_step h ON h.run_id = r.id AND h.step = 'heat'
             JOIN entry hn ON hn.id = h.entry_id AND hn.effective = 1
             JOIN run_step s ON s.run_id = r.id AND s.step = 'steam'
             JOIN entry sn ON sn.id = s.entry_id AND sn.effective = 1
             WHERE r.canner_id = ?1 AND s.at >= h.at",
            canner.id,
        )
    }

    fn times_of(&self, sql: &str, canner: i64) -> Result<Option<OwnTimes>, LedgerError> {
        let mut statement = self.conn.prepare_cached(sql)?;
        let minutes = statement.query_map([canner], |row| row.get(0))?.collect::<Result<Vec<u32>, _>>()?;
        Ok(OwnTimes::of(minutes))
    }
}
