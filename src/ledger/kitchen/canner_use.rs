//! When a canner was in use.

use chrono::{DateTime, FixedOffset};
use rusqlite::{OptionalExtension, params};

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::batch_code;
use crate::values::codes::load_code::LoadCode;
use crate::values::names::name::Name;

impl Ledger {
    /// A load on record that was in a canner at some time from `began` to `out_at`.
    ///
    /// A load is in its canner from when it reached its target, or its minutes before it came out.
    pub(crate) fn load_in_canner(
        &self,
        canner: &Name,
        began: DateTime<FixedOffset>,
        out_at: DateTime<FixedOffset>,
    ) -> Result<Option<LoadCode>, LedgerError> {
        let mut statement = self.conn.prepare_cached(
            "SELECT b.year, b.number AS batch_number, o.number FROM load o
             JOIN canner c ON c.id = o.canner_id AND c.name_key = ?1
             JOIN batch b ON b.id = o.batch_id
             JOIN entry n ON n.id = b.entry_id AND n.effective = 1
             WHERE o.out_at = ?3 OR o.out_at > ?2
               AND coalesce(o.reached_at, o.out_at - 60 * coalesce(o.minutes, 0)) < ?3
             ORDER BY o.id DESC LIMIT 1",
        )?;
        let load = statement.query_row(params![canner.key(), began.timestamp(), out_at.timestamp()], |row| {
            Ok(batch_code(row).and_then(|batch| Ok(LoadCode { batch, number: row.get("number")? })))
        });
        load.optional()?.transpose()
    }
}
