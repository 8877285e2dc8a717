//! Finding jars.

use chrono::NaiveDate;
use rusqlite::{OptionalExtension, Row, params};

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::Columns;
use crate::rules::jar::jar_state::JarState;
use crate::rules::load::process_record::ProcessMark;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::kinds::jar_size::JarSize;

/// A jar as it stands now.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Jar {
    #[serde(skip)]
    pub(in crate::ledger) id: i64,
    /// Its code.
    #[serde(rename = "jar")]
    pub code: JarCode,
    /// What is in it.
    pub product: String,
    /// Its size.
    pub size: JarSize,
    /// The day it was put up.
    pub put_up: NaiveDate,
    /// Best quality until this day.
    pub best_by: NaiveDate,
    /// Where it stands in its life.
    pub state: JarState,
    /// Whether it is withheld from eating.
    pub on_hold: bool,
    /// Where it is kept.
    pub place: Option<String>,
    /// What must be said of its process.
    #[serde(flatten)]
    pub process: ProcessMark,
}

/// The columns of a [`ProcessMark`], in the order [`process_mark`] reads them, of the load `o`, which may be missing, and
/// the batch `b`; not on record is what `is_on_record` of `rules/load/process_record.rs` says is not.
macro_rules! process_columns {
    () => {
        "coalesce(o.verdict, 'not-recorded') IN ('not-recorded', 'no-tested-process') AND b.vouched IS NULL AS unrecorded,
         coalesce(o.verdict = 'meets-own', 0) AS own_process,
         CASE WHEN coalesce(o.verdict, 'not-recorded') IN ('not-recorded', 'no-tested-process')
              THEN b.vouched END AS vouched"
    };
}
pub(in crate::ledger) use process_columns;

/// Reads the next three columns, those of `process_columns`.
pub(in crate::ledger) fn process_mark(columns: &mut Columns<'_, '_>) -> Result<ProcessMark, LedgerError> {
    Ok(ProcessMark { unrecorded: columns.take()?, own_process: columns.take()?, vouched: columns.take()? })
}

/// Columns and joins of a [`Jar`], in the order it reads them; the caller adds a WHERE on `j`, `b` or `p`.
pub(in crate::ledger) const JARS: &str = concat!(
    "SELECT j.id, b.year, b.number AS batch_number, j.number, p.name AS product, j.size,
        b.put_up, j.best_by, j.state, j.held, l.name AS place, ",
    process_columns!(),
    "
     FROM jar j
     JOIN batch b ON b.id = j.batch_id
     JOIN product p ON p.id = b.product_id
     LEFT JOIN place l ON l.id = j.place_id
     LEFT JOIN load o ON o.id = j.load_id"
);

impl Jar {
    /// Reads a row of [`JARS`].
    pub(in crate::ledger) fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        Self::from_columns(&mut Columns::of(row))
    }

    /// Reads the columns of [`JARS`] where a row begins with them.
    pub(in crate::ledger) fn from_columns(columns: &mut Columns<'_, '_>) -> Result<Self, LedgerError> {
        let mut jar = Self {
            id: columns.take()?,
            code: JarCode {
                batch: BatchCode { year: columns.take()?, number: columns.take()? },
                number: columns.take()?,
            },
            product: columns.take()?,
            size: columns.parsed()?,
            put_up: columns.day()?,
            best_by: columns.day()?,
            state: columns.parsed()?,
            on_hold: columns.take()?,
            place: columns.take()?,
            process: process_mark(columns)?,
        };
        // Discarding ends a hold: there is nothing left to withhold.
        jar.on_hold &= jar.state.is_live();
        Ok(jar)
    }
}

impl Ledger {
    /// Finds one jar.
    ///
    /// # Errors
    /// [`LedgerError::NoJar`] where no such jar was put up.
    pub fn jar(&self, code: JarCode) -> Result<Jar, LedgerError> {
        let mut statement = self.conn.prepare_cached(&format!(
            "{JARS} WHERE b.year = ?1 AND b.number = ?2 AND j.number = ?3 AND j.state <> 'void'"
        ))?;
        let mut rows = statement.query(params![code.batch.year, code.batch.number, code.number])?;
        match rows.next()? {
            Some(row) => Jar::from_row(row),
            None => Err(LedgerError::NoJar { given: code.to_string(), near: Vec::new() }),
        }
    }

    /// Lists a batch's jars by number.
    ///
    /// # Errors
    /// [`LedgerError::NoBatch`] where no such batch was put up.
    pub fn jars_of_batch(&self, batch: BatchCode) -> Result<Vec<Jar>, LedgerError> {
        let mut statement = self.conn.prepare_cached(&format!(
            "{JARS} WHERE b.year = ?1 AND b.number = ?2 AND j.state <> 'void' ORDER BY j.number"
        ))?;
        let jars: Vec<Jar> = statement
            .query_and_then(params![batch.year, batch.number], Jar::from_row)?
            .collect::<Result<_, _>>()?;
        if jars.is_empty() {
            return Err(LedgerError::NoBatch { given: batch, near: self.batches_of_year(batch.year)? });
        }
        Ok(jars)
    }

    /// The row of a batch in force.
    pub(in crate::ledger) fn batch_id(&self, batch: BatchCode) -> Result<Option<i64>, LedgerError> {
        Ok(self
            .conn
            .prepare_cached(
                "SELECT b.id FROM batch b JOIN entry n ON n.id = b.entry_id AND n.effective = 1
                 WHERE b.year = ?1 AND b.number = ?2",
            )?
            .query_row(params![batch.year, batch.number], |row| row.get(0))
            .optional()?)
    }

    /// The last few batches of a year, for a near miss.
    pub(in crate::ledger) fn batches_of_year(&self, year: u8) -> Result<Vec<BatchCode>, LedgerError> {
        let mut statement = self.conn.prepare(
            "SELECT b.number FROM batch b JOIN entry n ON n.id = b.entry_id AND n.effective = 1
             WHERE b.year = ?1 ORDER BY b.number DESC LIMIT 3",
        )?;
        let numbers = statement.query_and_then([year], |row| Ok(BatchCode { year, number: row.get(0)? }))?;
        numbers.collect()
    }
}

#[cfg(test)]
mod tests {
    use super::process_mark;
    use crate::ledger::schema::row::Columns;
    use crate::rules::load::process_record::is_on_record;
    use crate::rules::load::verdict::Verdict;

    #[test]
    fn the_ledger_asks_of_a_process_what_the_rule_asks() {
        let conn = rusqlite::Connection::open_in_memory().unwrap();
        let verdicts = Verdict::ALL.iter().copied().map(Some).chain([None]);
        for verdict in verdicts {
            let sql = concat!(
                "SELECT ",
                process_columns!(),
                " FROM (SELECT ?1 AS verdict) o, (SELECT ?2 AS vouched) b"
            );
            let name = verdict.map(Verdict::as_str);
            let mark = |vouched: Option<&str>| {
                conn.query_row(sql, (name, vouched), |row| Ok(process_mark(&mut Columns::of(row)).unwrap()))
                    .unwrap()
            };
            let plain = mark(None);
            assert_eq!(plain.unrecorded, !is_on_record(verdict), "{verdict:?}");
            assert_eq!(plain.own_process, verdict == Some(Verdict::MeetsOwn), "{verdict:?}");
            let vouched = mark(Some("mine"));
            assert_eq!((vouched.unrecorded, vouched.vouched.is_some()), (false, !is_on_record(verdict)));
        }
    }
}
