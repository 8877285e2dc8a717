//! Records found wrong later: amended, never overwritten.
//!
//! A correction keeps the field, its old and its new value in their text form.
//! What a column holds now follows from the corrections in force: the new value
//! of the last one, else the old value of the first.

use chrono::{DateTime, FixedOffset, NaiveDate};
use rusqlite::{OptionalExtension, params};

use crate::ledger::batch::judging::{Bench, Judging};
use crate::ledger::batch::vouched::Contradicted;
use crate::ledger::entry::correct_field::{Field, Subject};
use crate::ledger::entry::write::{EntryId, Write};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::parsed;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::codes::load_code::LoadCode;
use crate::values::names::name::Name;

/// One field of a record and what it should have said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Amendment {
    field: Field,
    /// In text form; none: that it is not known.
    value: Option<String>,
}

/// What is corrected.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Corrected {
    /// A batch.
    Batch(BatchCode),
    /// A load.
    Load(LoadCode),
    /// A jar.
    Jar(JarCode),
}

impl Amendment {
    /// A field that should have said this; none: that it is not known.
    pub fn new(field: Field, value: Option<impl ToString>) -> Self {
        Self { field, value: value.map(|value| value.to_string()) }
    }

    /// As [`Self::new`], of a moment.
    pub fn moment(field: Field, at: Option<DateTime<FixedOffset>>) -> Self {
        Self::new(field, at.map(|at| at.to_rfc3339()))
    }
}

impl Ledger {
    fn subject_of(&self, of: Corrected) -> Result<(Subject, i64), LedgerError> {
        Ok(match of {
            Corrected::Batch(code) => (Subject::Batch, self.batch(code)?.id),
            Corrected::Load(code) => (Subject::Load, self.load(code)?.id),
            Corrected::Jar(code) => (Subject::Jar, self.jar(code)?.id),
        })
    }

    /// What the corrections in force leave a corrected field saying; none: not recorded.
    pub(in crate::ledger) fn value_by_corrections(
        &self,
        field: Field,
        id: i64,
    ) -> Result<Option<String>, LedgerError> {
        let key = params![field.subject().as_str(), id, field.as_str()];
        let last: Option<Option<String>> = self
            .conn
            .prepare_cached(
                "SELECT c.new_value FROM correction c JOIN entry n ON n.id = c.entry_id AND n.effective = 1
                 WHERE c.subject = ?1 AND c.subject_id = ?2 AND c.field = ?3 ORDER BY c.id DESC LIMIT 1",
            )?
            .query_row(key, |row| row.get(0))
            .optional()?;
        if let Some(value) = last {
            return Ok(value);
        }
        Ok(self
            .conn
            .prepare_cached(
                "SELECT old_value FROM correction
                 WHERE subject = ?1 AND subject_id = ?2 AND field = ?3 ORDER BY id LIMIT 1",
            )?
            .query_row(key, |row| row.get(0))?)
    }
}

fn says_so_already(field: Field, new: Option<&str>) -> LedgerError {
    LedgerError::Refused {
        what: format!("{field} says {} already", new.unwrap_or("nothing")),
        hint: "leave it out".to_owned(),
    }
}

impl Write<'_> {
    /// Amends fields of one record, and judges anew the loads they bear on.
    ///
    /// A new day of putting up carries the best-by dates along that were reckoned from the old one.
    ///
    /// # Errors
    /// [`LedgerError::Refused`] where a field says so already, or belongs to another kind of record.
    pub fn correct(
        &self,
        of: Corrected,
        amendments: &[Amendment],
        reason: &str,
    ) -> Result<Vec<Judging>, LedgerError> {
        let (subject, id) = self.subject_of(of)?;
        let loads = match of {
            Corrected::Batch(_) => {
                self.load_ids("SELECT id FROM load WHERE batch_id = ?1 ORDER BY number", id)?
            }
            Corrected::Load(_) => vec![id],
            Corrected::Jar(_) => self.load_of_jar(id)?.map(|load| load.id).into_iter().collect(),
        };
        // Ask why the load was withheld before amending it; afterwards the answer would be the new one.
        let before =
            loads.iter().map(|&load| self.withheld_by_record(load)).collect::<Result<Vec<_>, _>>()?;
        for Amendment { field, value } in amendments {
            let field = *field;
            if field.subject() != subject {
                return Err(LedgerError::Refused {
                    what: format!("{field} is not a field of a {subject}"),
                    hint: "see `jarledger correct --help`".to_owned(),
                });
            }
            if let (Field::PutUp, Corrected::Batch(code)) = (field, of) {
                let day = value.as_deref().and_then(|day| day.parse().ok());
                let day = day.ok_or_else(|| LedgerError::Unreadable(format!("{field} {value:?}")))?;
                self.carry_best_by(code, day, reason)?;
            }
            self.amend(field, id, value.as_deref(), reason)?;
        }
        let mut bench = Bench::default();
        let judged = loads
            .into_iter()
            .zip(before)
            .map(|(load, was)| self.judge_amended(load, was, &mut bench))
            .collect::<Result<_, _>>()?;
        let code = match of {
            Corrected::Batch(code) => code,
            Corrected::Load(code) => code.batch,
            Corrected::Jar(code) => code.batch,
        };
        if amendments.iter().any(|one| one.field == Field::Vouched && one.value.is_some()) {
            self.check_vouched(code)?;
        } else if amendments.iter().any(|one| one.field.says_what_it_is()) {
            self.check_not_contradicted(code)?;
        }
        Ok(judged)
    }

    /// Refuses a word for the process of a batch that is on record, that is on hold or that the tables contradict.
    fn check_vouched(&self, code: BatchCode) -> Result<(), LedgerError> {
        let jars = self.jars_of_batch(code)?;
        let refuse = |what: String, hint: String| Err(LedgerError::Refused { what, hint });
        let see = format!("see `jarledger batch {code}`");
        if jars.iter().any(|jar| jar.on_hold && jar.state.is_live()) {
            return refuse(format!("{code} has jars on hold, and nobody can vouch for those"), see);
        }
        if !jars.iter().any(|jar| jar.process.vouched.is_some()) {
            return refuse(format!("the process of {code} is on record: there is nothing to vouch for"), see);
        }
        self.check_not_contradicted(code)
    }

    /// Refuses to let somebody's word stand for a batch that the tables contradict.
    fn check_not_contradicted(&self, code: BatchCode) -> Result<(), LedgerError> {
        match self.contradicted(code)? {
            Some(Contradicted { what, hint }) => Err(LedgerError::Refused { what, hint }),
            None => Ok(()),
        }
    }

    /// Sets the lid lot of every jar of a load.
    ///
    /// # Errors
    /// As [`Self::correct`].
    pub(crate) fn correct_lid_lot(
        &self,
        load: LoadCode,
        lot: Option<&Name>,
        reason: &str,
    ) -> Result<(), LedgerError> {
        let new = lot.map(ToString::to_string);
        let mut amended = false;
        for jar in self.jars_of_load(self.load(load)?.id)? {
            amended |= self.is_amended(Field::LidLot, jar.id, new.as_deref(), reason)?;
        }
        if amended { Ok(()) } else { Err(says_so_already(Field::LidLot, new.as_deref())) }
    }

    /// Sets every column that corrections of `entry` touch to what the corrections in force say.
    ///
    /// For `undo`, in the transaction that takes the entry back or brings it back, once its
    /// `effective` is set; whether it may be taken back is asked before.
    pub(in crate::ledger) fn reapply_corrections(&self, entry: EntryId) -> Result<(), LedgerError> {
        let mut statement = self.conn.prepare_cached(
            "SELECT DISTINCT field, subject_id FROM correction WHERE entry_id = ?1 ORDER BY id",
        )?;
        let touched: Vec<(Field, i64)> = statement
            .query_and_then([entry.0], |row| Ok((parsed(row, "field")?, row.get("subject_id")?)))?
            .collect::<Result<_, LedgerError>>()?;
        for (field, id) in touched {
            let value = self.value_by_corrections(field, id)?;
            self.set_field(field, id, value.as_deref())?;
        }
        Ok(())
    }

    fn amend(&self, field: Field, id: i64, new: Option<&str>, reason: &str) -> Result<(), LedgerError> {
        if self.is_amended(field, id, new, reason)? { Ok(()) } else { Err(says_so_already(field, new)) }
    }

    /// Amends a field, unless it says so already.
    fn is_amended(
        &self,
        field: Field,
        id: i64,
        new: Option<&str>,
        reason: &str,
    ) -> Result<bool, LedgerError> {
        let old = self.field_value(field, id)?;
        self.set_field(field, id, new)?;
        // Keep the value as read back, since a name keeps the spelling it was first met in.
        let new = self.field_value(field, id)?;
        if old == new {
            return Ok(false);
        }
        self.conn
            .prepare_cached(
                "INSERT INTO correction (entry_id, subject, subject_id, field, old_value, new_value, reason)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            )?
            .execute(params![self.entry.0, field.subject().as_str(), id, field.as_str(), old, new, reason])?;
        Ok(true)
    }

    /// Moves the best-by dates that are whole months after the old day to as many after the new one.
    fn carry_best_by(&self, batch: BatchCode, day: NaiveDate, reason: &str) -> Result<(), LedgerError> {
        use crate::values::time::civil_day::add_months;
        use crate::values::time::month::Month;
        let old = self.batch(batch)?.put_up;
        for jar in self.jars_of_batch(batch)? {
            let months = Month::of(jar.best_by).since(Month::of(old));
            let carried = add_months(day, months);
            if add_months(old, months) == jar.best_by && carried != jar.best_by {
                self.amend(Field::BestBy, jar.id, Some(&carried.to_string()), reason)?;
            }
        }
        Ok(())
    }
}
