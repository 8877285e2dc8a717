//! Loads: what each canner-full went through.

use chrono::{DateTime, FixedOffset};
use rusqlite::{Row, params};

use crate::ledger::batch::judging::written_findings;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::live::LIVE;
use crate::ledger::schema::row::{batch_code, instant, parsed, parsed_opt};
use crate::rules::load::finding::Finding;
use crate::rules::load::run_time::Drop;
use crate::rules::load::verdict::Verdict;
use crate::rules::seal::seal_window::SealWindow;
use crate::values::codes::jar_code::BatchCode;
use crate::values::codes::load_code::LoadCode;
use crate::values::kinds::acid::AcidRecord;
use crate::values::kinds::method::Method;
use crate::values::measures::altitude::Altitude;
use crate::values::measures::pressure::Pressure;

/// One canner-full on record. None means "not recorded".
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Load {
    #[serde(skip)]
    pub(in crate::ledger) id: i64,
    /// Its batch and number.
    #[serde(rename = "load")]
    pub code: LoadCode,
    /// The canner.
    pub canner: Option<String>,
    /// Its kind.
    pub method: Option<Method>,
    /// Where it stood.
    #[serde(serialize_with = "shown_opt")]
    pub altitude: Option<Altitude>,
    /// What the gauge read, or the weight.
    #[serde(rename = "psi")]
    pub pressure: Option<Pressure>,
    /// The same as typed.
    pub pressure_entered: Option<String>,
    /// Minutes at pressure or at a full boil.
    pub minutes: Option<u32>,
    /// Minutes of venting.
    pub vent_min: Option<u32>,
    /// Minutes from closing the vent to pressure.
    pub come_up_min: Option<u32>,
    /// Acid added.
    #[serde(serialize_with = "shown_opt")]
    pub acid: Option<AcidRecord>,
    /// When pressure was reached.
    pub reached_at: Option<DateTime<FixedOffset>>,
    /// When the heat went off.
    pub ended_at: Option<DateTime<FixedOffset>>,
    /// When pressure or the boil was lost, and regained if it was.
    pub drops: Vec<Drop>,
    /// When the jars came out.
    pub out_at: DateTime<FixedOffset>,
    /// What went wrong, in the cook's words.
    pub went_wrong: Option<String>,
    /// The judgement in force; none: never judged.
    pub verdict: Option<Verdict>,
    /// What the judgement found.
    pub findings: Vec<Finding>,
}

/// Writes a value in its own words.
fn shown_opt<T: std::fmt::Display, S: serde::Serializer>(
    value: &Option<T>,
    to: S,
) -> Result<S::Ok, S::Error> {
    match value {
        Some(value) => to.collect_str(value),
        None => to.serialize_none(),
    }
}

/// Columns and joins of a [`Load`]; the caller adds a WHERE on `o` or `b`.
const LOADS: &str =
    "SELECT o.id, b.year, b.number AS batch_number, o.number, c.name AS canner, c.method, o.altitude,
        o.pressure, o.pressure_entered, o.minutes, o.vent_min, o.come_up_min, o.acid, o.reached_at,
        o.ended_at, o.out_at, o.out_offset, o.went_wrong, o.verdict, o.findings
     FROM load o
     JOIN batch b ON b.id = o.batch_id
     JOIN entry n ON n.id = b.entry_id AND n.effective = 1
     LEFT JOIN canner c ON c.id = o.canner_id";

impl Load {
    /// When its seals are to be checked.
    pub const fn seal_window(&self) -> SealWindow {
        SealWindow::after(self.out_at)
    }
}

impl Ledger {
    /// Lists a batch's loads by number.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read.
    pub fn loads_of_batch(&self, batch: BatchCode) -> Result<Vec<Load>, LedgerError> {
        let mut statement = self
            .conn
            .prepare_cached(&format!("{LOADS} WHERE b.year = ?1 AND b.number = ?2 ORDER BY o.number"))?;
        let loads =
            statement.query_and_then(params![batch.year, batch.number], |row| self.load_from_row(row))?;
        loads.collect()
    }

    /// The loads put up at this height of which a jar is still in the house, oldest first.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read.
    pub fn loads_put_up_at(&self, altitude: Altitude) -> Result<Vec<LoadCode>, LedgerError> {
        let mut statement = self.conn.prepare(&format!(
            "SELECT b.year, b.number AS batch_number, o.number FROM load o
             JOIN batch b ON b.id = o.batch_id
             JOIN entry n ON n.id = b.entry_id AND n.effective = 1
             WHERE o.altitude = ?1 AND EXISTS (SELECT 1 FROM jar j WHERE j.load_id = o.id AND {LIVE})
             ORDER BY b.year, b.number, o.number"
        ))?;
        let loads = statement.query_and_then([altitude.to_string()], |row| {
            Ok(LoadCode { batch: batch_code(row)?, number: row.get("number")? })
        })?;
        loads.collect()
    }

    /// Finds one load.
    ///
    /// # Errors
    /// [`LedgerError::NotFound`], telling which loads the batch has.
    pub fn load(&self, code: LoadCode) -> Result<Load, LedgerError> {
        let loads = self.loads_of_batch(code.batch)?;
        let count = loads.len();
        loads.into_iter().find(|load| load.code == code).ok_or_else(|| {
            LedgerError::NotFound(match count {
                0 => format!("batch {} has no load on record", code.batch),
                1 => format!("there is no load {code}; batch {0} has one, {0}/1", code.batch),
                count => format!("there is no load {code}; batch {} has loads 1 to {count}", code.batch),
            })
        })
    }

    /// The load a jar came out of, if it is on record.
    pub(in crate::ledger) fn load_of_jar(&self, jar_id: i64) -> Result<Option<Load>, LedgerError> {
        let mut statement = self
            .conn
            .prepare_cached(&format!("{LOADS} WHERE o.id = (SELECT load_id FROM jar WHERE id = ?1)"))?;
        let mut rows = statement.query([jar_id])?;
        rows.next()?.map(|row| self.load_from_row(row)).transpose()
    }

    fn load_from_row(&self, row: &Row<'_>) -> Result<Load, LedgerError> {
        let id: i64 = row.get("id")?;
        let offset: i64 = row.get("out_offset")?;
        let moment = |column: &str| -> Result<_, LedgerError> {
            row.get::<_, Option<i64>>(column)?.map(|seconds| instant(seconds, offset)).transpose()
        };
        let findings: Option<String> = row.get("findings")?;
        let findings = findings.as_deref().map(written_findings).transpose()?.unwrap_or_default();
        Ok(Load {
            id,
            code: LoadCode { batch: batch_code(row)?, number: row.get("number")? },
            canner: row.get("canner")?,
            method: parsed_opt(row, "method")?,
            altitude: parsed_opt(row, "altitude")?,
            pressure: row.get::<_, Option<i64>>("pressure")?.map(Pressure::from_centi_psi),
            pressure_entered: row.get("pressure_entered")?,
            minutes: row.get("minutes")?,
            vent_min: row.get("vent_min")?,
            come_up_min: row.get("come_up_min")?,
            acid: parsed_opt(row, "acid")?,
            reached_at: moment("reached_at")?,
            ended_at: moment("ended_at")?,
            drops: self.drops_of_load(id)?,
            out_at: instant(row.get("out_at")?, offset)?,
            went_wrong: row.get("went_wrong")?,
            verdict: parsed_opt(row, "verdict")?,
            findings,
        })
    }

    fn drops_of_load(&self, load_id: i64) -> Result<Vec<Drop>, LedgerError> {
        let mut statement =
            self.conn.prepare_cached("SELECT told FROM load_drop WHERE load_id = ?1 ORDER BY number")?;
        let drops = statement.query_and_then([load_id], |row| parsed(row, "told"))?;
        drops.collect()
    }
}
