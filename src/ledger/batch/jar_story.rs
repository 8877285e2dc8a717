//! A jar's whole story, from the facts in force.

use chrono::{DateTime, FixedOffset, NaiveDate};
use rusqlite::Row;

use crate::ledger::batch::batch_story::{Batch, LoadStory};
use crate::ledger::entry::correct_field::Subject;
use crate::ledger::entry::correction::Correction;
use crate::ledger::entry::write::EntryId;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::hold::HoldCause;
use crate::ledger::jar::rescue::Rescue;
use crate::ledger::schema::row::{date, instant, parsed};
use crate::rules::jar::decide_now::awaits_decision;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::jar::keeps::Keeps;
use crate::rules::load::remedy::TOO_LATE;
use crate::values::codes::jar_code::JarCode;
use crate::values::kinds::seal_test::SealTest;

/// A jar with all that is on record of it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct JarStory {
    /// The jar as it stands.
    pub jar: Jar,
    pub batch: Batch,
    /// The load it came out of.
    pub load: Option<LoadStory>,
    pub lid_lot: Option<String>,
    /// Anything worth keeping about it.
    pub note: Option<String>,
    /// Every hold, oldest first.
    pub holds: Vec<HoldShown>,
    /// Every seal check, oldest first.
    pub seal_checks: Vec<SealCheck>,
    /// Everything that happened to it, oldest first.
    pub events: Vec<Event>,
    /// What was corrected of it.
    pub corrections: Vec<Correction>,
    /// What was corrected of its batch as a whole.
    pub batch_corrections: Vec<Correction>,
    /// What may still be done with it; none for a jar that needs no rescue.
    pub rescue: Option<Rescue>,
    /// Until when it is to be eaten.
    pub keeps: Keeps,
}

/// A hold, and how it ended if it did.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub(crate) struct HoldShown {
    /// What put the jar on hold.
    pub cause: HoldCause,
    /// Why.
    pub reason: String,
    /// Since when.
    pub since: NaiveDate,
    /// Until when; none: it stands.
    pub until: Option<NaiveDate>,
    /// Why it was let go.
    pub released_for: Option<String>,
}

/// A look at the lid.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct SealCheck {
    /// When.
    pub at: DateTime<FixedOffset>,
    /// Whether it held.
    pub sealed: bool,
    /// How it was tested.
    pub test: SealTest,
    /// Whether that was before 12 hours.
    pub early: bool,
}

/// One thing that happened to a jar.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub(crate) struct Event {
    /// The entry it belongs to.
    pub entry: EntryId,
    /// What.
    #[serde(rename = "event")]
    pub act: Act,
    /// Where the jar stood before.
    pub from: JarState,
    /// Where it stood then.
    pub to: JarState,
    /// When.
    pub at: DateTime<FixedOffset>,
    /// The day.
    pub on: NaiveDate,
    /// Where it was put.
    pub place: Option<String>,
    /// To whom it was given.
    pub who: Option<String>,
    pub why: Option<String>,
}

impl Event {
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        Ok(Self {
            entry: EntryId(row.get("entry_id")?),
            act: parsed(row, "act")?,
            from: parsed(row, "from_state")?,
            to: parsed(row, "to_state")?,
            at: instant(row.get("at")?, row.get("at_offset")?)?,
            on: date(row, "on_date")?,
            place: row.get("place")?,
            who: row.get("who")?,
            why: row.get("why")?,
        })
    }
}

impl Ledger {
    /// Reads a jar's story; what may be done with it is as of `at`.
    ///
    /// # Errors
    /// [`LedgerError::NoJar`] where no such jar was put up.
    pub(crate) fn jar_story(
        &self,
        code: JarCode,
        at: DateTime<FixedOffset>,
    ) -> Result<JarStory, LedgerError> {
        let jar = self.jar(code)?;
        let batch = self.batch(code.batch)?;
        let load = self.load_of_jar(jar.id)?.map(|load| self.load_story(load)).transpose()?;
        let (lid_lot, note) = self
            .conn
            .prepare_cached(
                "SELECT l.name, j.note FROM jar j LEFT JOIN lid_lot l ON l.id = j.lid_lot_id WHERE j.id = ?1",
            )?
            .query_row([jar.id], |row| Ok((row.get(0)?, row.get(1)?)))?;
        // A jar past its seal check whose load failed is thrown away: nothing else mends it. One held for
        // something else is let out of the hold or thrown away, as who held it decides.
        let rescue = match jar.state {
            JarState::Unsealed => Some(self.rescue(&jar, at)?),
            JarState::Cooling if jar.on_hold => Some(self.rescue(&jar, at)?),
            JarState::Sealed | JarState::Opened if jar.on_hold => {
                let rescue = self.rescue(&jar, at)?;
                rescue.load_failed.then(|| Rescue { remedies: TOO_LATE.to_vec(), ..rescue })
            }
            _ => None,
        };
        Ok(JarStory {
            rescue,
            keeps: if awaits_decision(jar.state) {
                self.case(&jar)?.keeps(at)
            } else {
                Keeps::BestBy(jar.best_by)
            },
            holds: self.every_hold(jar.id)?,
            seal_checks: self.seal_checks(jar.id)?,
            events: self.events(jar.id)?,
            corrections: self.corrections(Subject::Jar, jar.id)?,
            batch_corrections: self.corrections(Subject::Batch, batch.id)?,
            jar,
            batch,
            load,
            lid_lot,
            note,
        })
    }

    fn every_hold(&self, jar_id: i64) -> Result<Vec<HoldShown>, LedgerError> {
        let mut statement = self.conn.prepare_cached(
            "SELECT h.cause, h.reason, n.on_date AS since, r.reason AS released_for, r.on_date AS until
             FROM hold h
             JOIN entry n ON n.id = h.entry_id AND n.effective = 1
             LEFT JOIN (SELECT r.hold_id, r.reason, m.on_date FROM hold_release r
                        JOIN entry m ON m.id = r.entry_id AND m.effective = 1) r ON r.hold_id = h.id
             WHERE h.jar_id = ?1 GROUP BY h.id ORDER BY h.id",
        )?;
        let holds = statement.query_and_then([jar_id], |row| {
            Ok(HoldShown {
                cause: parsed(row, "cause")?,
                reason: row.get("reason")?,
                since: date(row, "since")?,
                until: crate::ledger::schema::row::parsed_opt(row, "until")?,
                released_for: row.get("released_for")?,
            })
        })?;
        holds.collect()
    }

    fn seal_checks(&self, jar_id: i64) -> Result<Vec<SealCheck>, LedgerError> {
        let mut statement = self.conn.prepare_cached(
            "SELECT v.at, v.at_offset, s.sealed, s.test, s.early
             FROM seal_check s
             JOIN event v ON v.id = s.event_id
             JOIN entry n ON n.id = v.entry_id AND n.effective = 1
             WHERE s.jar_id = ?1 ORDER BY s.event_id",
        )?;
        let checks = statement.query_and_then([jar_id], |row| {
            Ok(SealCheck {
                at: instant(row.get("at")?, row.get("at_offset")?)?,
                sealed: row.get("sealed")?,
                test: parsed(row, "test")?,
                early: row.get("early")?,
            })
        })?;
        checks.collect()
    }

    fn events(&self, jar_id: i64) -> Result<Vec<Event>, LedgerError> {
        let mut statement = self.conn.prepare_cached(
            "SELECT v.entry_id, v.act, v.from_state, v.to_state, v.at, v.at_offset, v.on_date,
                    l.name AS place, v.who, v.why
             FROM event v
             JOIN entry n ON n.id = v.entry_id AND n.effective = 1
             LEFT JOIN place l ON l.id = v.place_id
             WHERE v.jar_id = ?1 ORDER BY v.id",
        )?;
        let events = statement.query_and_then([jar_id], Event::from_row)?;
        events.collect()
    }
}
