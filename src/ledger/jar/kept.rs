//! Entries that a phone asked for, found again.

use rusqlite::params;
use uuid::Uuid;

use crate::ledger::entry::write::EntryId;
use crate::ledger::error::LedgerError;
use crate::ledger::file::asked::Asked;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::acts::Happened;
use crate::ledger::jar::find::{JARS, Jar};
use crate::ledger::schema::row::{instant, parsed};
use crate::rules::jar::jar_state::JarState;

/// An entry that was written for a phone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Kept {
    /// Its number.
    pub entry: EntryId,
    /// Its name, which no other entry has, not even of a ledger that was put in this one's place.
    pub name: Uuid,
    pub command: String,
    /// What it did, in one line.
    pub summary: String,
    /// Whether it counts.
    pub in_force: bool,
}

impl Ledger {
    /// Names the next entry and the phone that asks for it.
    pub(crate) fn asked_by(&self, asked: Asked) {
        self.asked.replace(Some(asked));
    }

    /// The entry of this name, if it was written.
    pub(crate) fn entry_named(&self, key: Uuid) -> Result<Option<Kept>, LedgerError> {
        self.kept("uuid = ?1", &key.to_string())
    }

    /// The newest entry in force that this phone asked for, other than taking back.
    pub(crate) fn newest_of_phone(&self, phone: &str) -> Result<Option<Kept>, LedgerError> {
        // What lies thousands of entries back is not looked for: the page asks each time it is opened.
        self.kept(
            "id > (SELECT max(id) FROM entry) - 5000 AND phone = ?1 AND effective = 1 AND reverses IS NULL
             ORDER BY id DESC LIMIT 1",
            phone,
        )
    }

    fn kept(&self, which: &str, of: &str) -> Result<Option<Kept>, LedgerError> {
        let sql = format!("SELECT id, uuid, command, summary, effective FROM entry WHERE {which}");
        let mut found = self.conn.prepare_cached(&sql)?;
        let mut found = found.query([of])?;
        let Some(row) = found.next()? else { return Ok(None) };
        Ok(Some(Kept {
            entry: EntryId(row.get(0)?),
            name: parsed(row, "uuid")?,
            command: row.get(2)?,
            summary: row.get(3)?,
            in_force: row.get(4)?,
        }))
    }

    /// What an entry made of its jars, each as it stands now.
    pub(crate) fn happened_in(&self, entry: EntryId) -> Result<Vec<Happened>, LedgerError> {
        let mut events = self.conn.prepare_cached(
            "SELECT jar_id, from_state, at, at_offset FROM event WHERE entry_id = ?1 ORDER BY id",
        )?;
        let mut rows = events.query([entry.0])?;
        let mut happened = Vec::new();
        while let Some(row) = rows.next()? {
            let (jar, from): (i64, String) = (row.get(0)?, row.get(1)?);
            let from: JarState =
                from.parse().map_err(|_| LedgerError::Unreadable(format!("jar state {from:?}")))?;
            let mut found = self.conn.prepare_cached(&format!("{JARS} WHERE j.id = ?1"))?;
            let mut found = found.query(params![jar])?;
            let Some(found) = found.next()? else { continue };
            let jar = self.case(&Jar::from_row(found)?)?;
            happened.push(Happened { jar, from, since: None, at: instant(row.get(2)?, row.get(3)?)? });
        }
        Ok(happened)
    }
}
