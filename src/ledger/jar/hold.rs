//! Jars withheld from eating, and let go again.

use chrono::{DateTime, FixedOffset, NaiveDate};
use rusqlite::{Row, params};

use crate::ledger::entry::write::{EntryId, Write};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::Jar;
use crate::ledger::schema::row::{date, instant, parsed};
use crate::values::names::named::named_enum;

named_enum! {
    /// What put a jar on hold.
    pub enum HoldCause as "a cause of a hold" {
        /// The verdict on its load.
        Verdict = "verdict",
        /// It shares its fate with jars that were traced.
        Trace = "trace",
        /// The household's own doubt.
        ByHand = "by-hand",
    }
}

/// A hold in force.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Hold {
    #[serde(skip)]
    pub(in crate::ledger) id: i64,
    #[serde(skip)]
    pub(in crate::ledger) jar_id: i64,
    /// What put the jar on hold.
    pub cause: HoldCause,
    /// Why.
    pub reason: String,
    /// Since when.
    pub since: NaiveDate,
    /// The entry that put it on.
    #[serde(skip)]
    pub(in crate::ledger) entry: EntryId,
    /// The moment it was put on hold.
    #[serde(skip)]
    pub(in crate::ledger) since_at: DateTime<FixedOffset>,
}

impl Hold {
    pub(in crate::ledger) fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        Ok(Self {
            id: row.get("id")?,
            jar_id: row.get("jar_id")?,
            cause: parsed(row, "cause")?,
            reason: row.get("reason")?,
            since: date(row, "on_date")?,
            entry: EntryId(row.get("entry_id")?),
            since_at: instant(row.get("at")?, row.get("at_offset")?)?,
        })
    }
}

/// Holds in force; the caller adds conditions on `h` with AND.
pub(in crate::ledger) const IN_FORCE: &str =
    "SELECT h.id, h.jar_id, h.entry_id, h.cause, h.reason, he.on_date, he.at, he.at_offset
     FROM hold h JOIN entry he ON he.id = h.entry_id AND he.effective = 1
     WHERE NOT EXISTS (SELECT 1 FROM hold_release r JOIN entry re ON re.id = r.entry_id AND re.effective = 1
                       WHERE r.hold_id = h.id)";

impl Ledger {
    /// The holds in force on a jar, oldest first.
    pub(crate) fn holds_on(&self, jar: &Jar) -> Result<Vec<Hold>, LedgerError> {
        let mut statement =
            self.conn.prepare_cached(&format!("{IN_FORCE} AND h.jar_id = ?1 ORDER BY h.id"))?;
        let holds = statement.query_and_then([jar.id], Hold::from_row)?;
        holds.collect()
    }

    /// Whether a hold of this cause and reason is in force on a jar.
    pub(crate) fn is_held_for(&self, jar: &Jar, cause: HoldCause, reason: &str) -> Result<bool, LedgerError> {
        Ok(self.holds_on(jar)?.iter().any(|hold| hold.cause == cause && hold.reason == reason))
    }

    /// The holds in force on jars given as a JSON list of rows, oldest first.
    pub(in crate::ledger) fn holds_on_jars(&self, ids: &str) -> Result<Vec<Hold>, LedgerError> {
        let mut statement = self.conn.prepare_cached(&format!(
            "{IN_FORCE} AND h.jar_id IN (SELECT value FROM json_each(?1)) ORDER BY h.id"
        ))?;
        let holds = statement.query_and_then([ids], Hold::from_row)?;
        holds.collect()
    }

    /// The holds in force that the verdict on a load put on its jars.
    pub(in crate::ledger) fn verdict_holds(&self, load_id: i64) -> Result<Vec<Hold>, LedgerError> {
        let mut statement = self.conn.prepare_cached(&format!(
            "{IN_FORCE} AND h.cause = 'verdict' AND h.jar_id IN (SELECT id FROM jar WHERE load_id = ?1)
             ORDER BY h.id"
        ))?;
        let holds = statement.query_and_then([load_id], Hold::from_row)?;
        holds.collect()
    }
}

impl Write<'_> {
    /// Puts a jar on hold; returns whether that changed anything, which it does not where a hold
    /// of the same cause and reason is in force.
    ///
    /// # Errors
    /// [`LedgerError::Refused`] for a jar that is no longer in the household.
    pub fn hold(&self, jar: &Jar, cause: HoldCause, reason: &str) -> Result<bool, LedgerError> {
        let jar = &self.jar(jar.code)?;
        if !jar.state.is_live() {
            return Err(LedgerError::Refused {
                what: format!("{} is {}: only a jar still in the household can be held", jar.code, jar.state),
                hint: format!(
                    "`jarledger trace {} --hold REASON` holds what is left of its batch",
                    jar.code.batch
                ),
            });
        }
        if self.is_held_for(jar, cause, reason)? {
            return Ok(false);
        }
        self.insert_hold(jar.id, cause, reason)?;
        Ok(true)
    }

    /// Lets a jar go: every hold in force on it ends.
    ///
    /// # Errors
    /// [`LedgerError::Refused`] for a jar that is not on hold, and for one that a verdict on its load
    /// put on hold: that ends when the load is judged to meet its process, and not by hand.
    pub fn release(&self, jar: &Jar, reason: &str) -> Result<Vec<Hold>, LedgerError> {
        let holds = self.holds_on(jar)?;
        if holds.is_empty() {
            return Err(LedgerError::Refused {
                what: format!("{} is not on hold", jar.code),
                hint: format!("see its story with `jarledger jar {}`", jar.code),
            });
        }
        if let Some(hold) = holds.iter().find(|hold| hold.cause == HoldCause::Verdict) {
            return Err(LedgerError::Refused {
                what: format!(
                    "{} stays on hold until its load is judged to meet a tested process ({})",
                    jar.code, hold.reason
                ),
                hint: format!(
                    "amend the record with `jarledger correct` if it is wrong, or `jarledger undo {}` if that entry \
                     was; if it is right, do not taste the jar: `jarledger discard {} --why ...`",
                    hold.entry.0, jar.code
                ),
            });
        }
        for hold in &holds {
            self.end_hold(hold, reason)?;
        }
        Ok(holds)
    }

    /// Ends the holds that the verdict on its load put on a jar.
    pub(in crate::ledger) fn end_verdict_holds(&self, jar: &Jar, reason: &str) -> Result<(), LedgerError> {
        for hold in self.holds_on(jar)?.iter().filter(|hold| hold.cause == HoldCause::Verdict) {
            self.end_hold(hold, reason)?;
        }
        Ok(())
    }

    pub(in crate::ledger) fn insert_hold(
        &self,
        jar_id: i64,
        cause: HoldCause,
        reason: &str,
    ) -> Result<(), LedgerError> {
        self.insert_hold_through(jar_id, cause, reason, None)
    }

    /// As [`Self::insert_hold`], where the hold came by way of a jar that was used in the batch.
    pub(in crate::ledger) fn insert_hold_through(
        &self,
        jar_id: i64,
        cause: HoldCause,
        reason: &str,
        through: Option<i64>,
    ) -> Result<(), LedgerError> {
        self.conn
            .prepare_cached(
                "INSERT INTO hold (jar_id, entry_id, cause, reason, through_jar_id) VALUES (?1, ?2, ?3, ?4, ?5)",
            )?
            .execute(params![jar_id, self.entry.0, cause.as_str(), reason, through])?;
        Ok(())
    }

    pub(in crate::ledger) fn end_hold(&self, hold: &Hold, reason: &str) -> Result<(), LedgerError> {
        self.conn
            .prepare_cached("INSERT INTO hold_release (hold_id, entry_id, reason) VALUES (?1, ?2, ?3)")?
            .execute(params![hold.id, self.entry.0, reason])?;
        Ok(())
    }
}
