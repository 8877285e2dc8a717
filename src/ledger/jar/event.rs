//! Things that happen to jars.

use chrono::{DateTime, FixedOffset};
use rusqlite::params;

use crate::ledger::entry::names::Names;
use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::jar::find::Jar;
use crate::ledger::schema::row::offset_minutes;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::values::names::name::Name;

/// The particulars of an act.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Particulars {
    /// Where the jar is afterwards.
    pub place: Option<Name>,
    /// To whom it was given.
    pub who: Option<String>,
    /// The reason.
    pub why: Option<String>,
}

impl Write<'_> {
    /// Lets `act` happen to a jar, now.
    ///
    /// # Errors
    /// [`LedgerError::Illegal`] where the jar's state does not take it.
    pub fn act(&self, jar: &Jar, act: Act, particulars: &Particulars) -> Result<JarState, LedgerError> {
        self.act_at(jar, act, self.clock.now, particulars).map(|(_, to)| to)
    }

    /// Lets `act` happen at `at`, and returns the event's row and the new state.
    pub(in crate::ledger) fn act_at(
        &self,
        jar: &Jar,
        act: Act,
        at: DateTime<FixedOffset>,
        particulars: &Particulars,
    ) -> Result<(i64, JarState), LedgerError> {
        let to = jar.state.after(act).map_err(|act| LedgerError::Illegal { jar: jar.code, act })?;
        let place =
            particulars.place.as_ref().map(|place| self.name_id_or_new(Names::Place, place)).transpose()?;
        self.conn
            .prepare_cached(
                "INSERT INTO event (jar_id, entry_id, act, from_state, to_state, at, at_offset, on_date,
                                    place_id, who, why)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
            )?
            .execute(params![
                jar.id,
                self.entry.0,
                act.as_str(),
                jar.state.as_str(),
                to.as_str(),
                at.timestamp(),
                offset_minutes(at),
                at.date_naive().to_string(),
                place,
                particulars.who,
                particulars.why,
            ])?;
        Ok((self.conn.last_insert_rowid(), to))
    }
}
