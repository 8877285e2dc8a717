//! What is on record of one canner-full: its columns of `load`, read and written here alone.

use chrono::{DateTime, FixedOffset};
use rusqlite::types::Value;
use rusqlite::{Row, params};

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::{instant, offset_minutes, parsed, parsed_opt};
use crate::rules::load::load_times::clock_time;
use crate::rules::load::run_time::{Drop, RunTime};
use crate::values::kinds::acid::AcidRecord;
use crate::values::kinds::method::Method;
use crate::values::measures::altitude::Altitude;
use crate::values::measures::pressure::Pressure;

/// What a canner-full went through. None means "not recorded".
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct LoadFacts {
    /// Where the canner stood.
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

impl LoadFacts {
    /// Nothing on record but when the jars came out.
    pub const fn out(out_at: DateTime<FixedOffset>) -> Self {
        Self {
            altitude: None,
            pressure: None,
            pressure_entered: None,
            minutes: None,
            vent_min: None,
            come_up_min: None,
            acid: None,
            reached_at: None,
            ended_at: None,
            drops: Vec::new(),
            out_at,
            went_wrong: None,
        }
    }

    /// The pressure that the rules take a figure for: on a weighted gauge a rounded figure in kPa is its weight.
    pub(in crate::ledger) fn pressure_that_counts(&self, method: Option<Method>) -> Option<Pressure> {
        let entered = self.pressure_entered.as_deref();
        let entered = entered.filter(|_| method == Some(Method::PressureWeighted));
        entered.and_then(Pressure::of_a_weight).or(self.pressure)
    }

    /// The time at pressure as the rules read it.
    pub(in crate::ledger) fn run_time(&self) -> RunTime {
        RunTime {
            minutes: self.minutes,
            reached_at: self.reached_at.map(clock_time),
            ended_at: self.ended_at.map(clock_time),
            drops: self.drops.clone(),
        }
    }

    /// Whether something is noted that went wrong.
    pub(in crate::ledger) fn has_trouble(&self) -> bool {
        self.went_wrong.as_ref().is_some_and(|given| !given.trim().is_empty())
    }

    /// Each column and what it holds; drops have rows of their own.
    pub(in crate::ledger) fn columns(&self) -> [(&'static str, Value); 12] {
        [
            ("altitude", self.altitude.map(|altitude| altitude.to_string()).into()),
            ("pressure", self.pressure.map(Pressure::centi_psi).into()),
            ("pressure_entered", self.pressure_entered.clone().into()),
            ("minutes", self.minutes.into()),
            ("vent_min", self.vent_min.into()),
            ("come_up_min", self.come_up_min.into()),
            ("acid", self.acid.map(|acid| acid.to_string()).into()),
            ("reached_at", self.reached_at.map(|at| at.timestamp()).into()),
            ("ended_at", self.ended_at.map(|at| at.timestamp()).into()),
            ("out_at", self.out_at.timestamp().into()),
            ("out_offset", offset_minutes(self.out_at).into()),
            ("went_wrong", self.went_wrong.clone().into()),
        ]
    }
}

impl Ledger {
    /// Reads them from a row that has the columns of `load`.
    pub(in crate::ledger) fn load_facts(&self, row: &Row<'_>) -> Result<LoadFacts, LedgerError> {
        let offset: i64 = row.get("out_offset")?;
        let moment = |column: &str| -> Result<_, LedgerError> {
            row.get::<_, Option<i64>>(column)?.map(|seconds| instant(seconds, offset)).transpose()
        };
        Ok(LoadFacts {
            altitude: parsed_opt(row, "altitude")?,
            pressure: row.get::<_, Option<i64>>("pressure")?.map(Pressure::from_centi_psi),
            pressure_entered: row.get("pressure_entered")?,
            minutes: row.get("minutes")?,
            vent_min: row.get("vent_min")?,
            come_up_min: row.get("come_up_min")?,
            acid: parsed_opt(row, "acid")?,
            reached_at: moment("reached_at")?,
            ended_at: moment("ended_at")?,
            drops: self.drops_of_load(row.get("id")?)?,
            out_at: instant(row.get("out_at")?, offset)?,
            went_wrong: row.get("went_wrong")?,
        })
    }

    fn drops_of_load(&self, load_id: i64) -> Result<Vec<Drop>, LedgerError> {
        let mut statement =
            self.conn.prepare_cached("SELECT told FROM load_drop WHERE load_id = ?1 ORDER BY number")?;
        let drops = statement.query_and_then(params![load_id], |row| parsed(row, "told"))?;
        drops.collect()
    }
}
