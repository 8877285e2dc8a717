//! What is on record of a load's jars, held against another time at which it would have come out.

use chrono::{DateTime, FixedOffset};
use rusqlite::params;

use crate::ledger::batch::load::Load;
use crate::ledger::entry::write::EntryId;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::{batch_code, instant, parsed};
use crate::rules::jar::jar_state::Act;
use crate::rules::seal::seal_window::{SealStage, SealWindow};
use crate::values::codes::jar_code::JarCode;
use crate::values::time::on_screen;

/// Something that happened to a jar of the load.
struct Happened {
    jar: JarCode,
    entry: EntryId,
    act: Act,
    at: DateTime<FixedOffset>,
    /// Whether it is a look at the lid that was to wait for 12 hours.
    waited: bool,
}

impl Ledger {
    /// Whether a load can have come out at another time than is on record, by what happened to its jars since.
    ///
    /// An earlier time than the one on record makes nothing wrong that was not wrong already.
    ///
    /// # Errors
    /// [`LedgerError::Refused`] where a jar would have had something happen to it within the canner, or its lid
    /// checked before 12 hours.
    pub(crate) fn may_have_come_out(
        &self,
        load: &Load,
        out_at: DateTime<FixedOffset>,
    ) -> Result<(), LedgerError> {
        if out_at <= load.facts.out_at {
            return Ok(());
        }
        let mut statement = self.conn.prepare_cached(
            "SELECT b.year, b.number AS batch_number, j.number, v.entry_id, v.act, v.at, v.at_offset,
                coalesce(k.early = 0, 0) AS waited
             FROM jar j
             JOIN batch b ON b.id = j.batch_id
             JOIN event v ON v.jar_id = j.id
             JOIN entry n ON n.id = v.entry_id AND n.effective = 1
             LEFT JOIN seal_check k ON k.event_id = v.id
             WHERE j.load_id = ?1 AND j.state <> 'void' ORDER BY v.at, v.id",
        )?;
        let rows = statement.query_and_then(params![load.id], |row| -> Result<_, LedgerError> {
            Ok(Happened {
                jar: JarCode { batch: batch_code(row)?, number: row.get("number")? },
                entry: EntryId(row.get("entry_id")?),
                act: parsed(row, "act")?,
                at: instant(row.get("at")?, row.get("at_offset")?)?,
                waited: row.get("waited")?,
            })
        })?;
        for happened in rows {
            let Happened { jar, entry, act, at, waited } = happened?;
            let why = if at < out_at {
                "before that"
            } else if waited && SealWindow::after(out_at).stage(at) == SealStage::TooEarly {
                "less than 12 hours later"
            } else {
                continue;
            };
            return Err(LedgerError::Refused {
                what: format!(
                    "load {} cannot have come out {}: {jar} took \u{201c}{act}\u{201d} {}, {why}",
                    load.code,
                    on_screen::moment(out_at),
                    on_screen::moment(at)
                ),
                hint: format!("if that is what is wrong, take it back first: `jarledger undo {}`", entry.0),
            });
        }
        Ok(())
    }
}
