//! Dates to keep: seal checks, jars in the refrigerator, gauge tests; and those lately settled.

use chrono::{DateTime, FixedOffset, NaiveDate, Utc};
use rusqlite::Row;

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::process_columns;
use crate::ledger::jar::live::LIVE;
use crate::ledger::schema::row::{batch_code, date, instant, parsed, parsed_opt};
use crate::rules::jar::jar_state::JarState;
use crate::rules::load::process_record::ProcessMark;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::kinds::food::FoodId;
use crate::values::kinds::method::{Acidity, Method};

/// A load whose lids are to be checked, or were.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CooledLoad {
    pub batch: BatchCode,
    /// The load's number in it.
    pub load: u32,
    /// What is in the jars.
    pub product: String,
    /// Jars not checked yet; 0 where the matter is settled.
    pub unchecked: u32,
    /// When it came out of the canner.
    pub out_at: DateTime<FixedOffset>,
}

/// A jar that was opened, or chilled because it did not seal or its load failed.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct InRefrigerator {
    pub jar: JarCode,
    /// What is in it.
    pub product: String,
    /// The food of the process tables, where there is one.
    pub food: Option<FoodId>,
    /// Its acidity, where the batch says it.
    pub acidity: Option<Acidity>,
    /// Where it stands.
    pub place: Option<String>,
    /// Opened or chilled.
    pub state: JarState,
    /// The day it was.
    pub on: NaiveDate,
    /// Whether it still stands there so.
    pub stands: bool,
    /// What must be said of its process.
    pub process: ProcessMark,
}

/// A canner with a dial gauge.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct DialGauge {
    /// Number of the canner in the ledger, the same for good.
    pub canner: i64,
    pub name: String,
    /// Day of the last test.
    pub tested: Option<NaiveDate>,
}

impl CooledLoad {
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        Ok(Self {
            batch: batch_code(row)?,
            load: row.get("load")?,
            product: row.get("product")?,
            unchecked: row.get("unchecked")?,
            out_at: instant(row.get("out_at")?, row.get("out_offset")?)?,
        })
    }
}

impl InRefrigerator {
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        Ok(Self {
            jar: JarCode { batch: batch_code(row)?, number: row.get("number")? },
            product: row.get("product")?,
            food: parsed_opt(row, "food")?,
            acidity: parsed_opt(row, "acidity")?,
            place: row.get("place")?,
            state: parsed(row, "to_state")?,
            on: date(row, "on_date")?,
            stands: row.get("stands")?,
            process: ProcessMark {
                unrecorded: row.get("unrecorded")?,
                own_process: row.get("own_process")?,
                vouched: row.get("vouched")?,
            },
        })
    }
}

impl Ledger {
    /// Lists the loads with unchecked jars, and those that came out at `since` or later.
    pub(crate) fn cooled_loads(&self, since: DateTime<FixedOffset>) -> Result<Vec<CooledLoad>, LedgerError> {
        let mut statement = self.conn.prepare(&format!(
            "SELECT b.year, b.number AS batch_number, o.number AS load, p.name AS product,
                    count(*) FILTER (WHERE j.state = 'cooling') AS unchecked, o.out_at, o.out_offset
             FROM load o
             JOIN batch b ON b.id = o.batch_id
             JOIN product p ON p.id = b.product_id
             JOIN jar j ON j.load_id = o.id AND j.state <> 'void'
             WHERE o.out_at >= ?1
                OR o.id IN (SELECT j.load_id FROM jar j INDEXED BY jar_live
                            WHERE {LIVE} AND j.state = 'cooling' AND j.load_id IS NOT NULL)
             GROUP BY o.id
             ORDER BY o.out_at, o.id"
        ))?;
        let rows = statement.query_and_then([since.timestamp()], CooledLoad::from_row)?;
        rows.collect()
    }

    /// Lists the opened and the chilled jars, and those that came to be so on `since` or later.
    pub(crate) fn in_refrigerator(&self, since: NaiveDate) -> Result<Vec<InRefrigerator>, LedgerError> {
        let mut statement = self.conn.prepare(concat!(
            "SELECT b.year, b.number AS batch_number, j.number, p.name AS product, b.food, b.acidity,
                    l.name AS place, v.to_state, v.on_date, j.state = v.to_state AS stands, ",
            process_columns!(),
            "
             FROM event v
             JOIN entry n ON n.id = v.entry_id AND n.effective = 1
             JOIN jar j ON j.id = v.jar_id
             JOIN batch b ON b.id = j.batch_id
             JOIN product p ON p.id = b.product_id
             LEFT JOIN place l ON l.id = j.place_id
             LEFT JOIN load o ON o.id = j.load_id
             WHERE v.act IN ('open', 'chill') AND (j.state = v.to_state OR v.on_date >= ?1)
             ORDER BY v.on_date, v.id"
        ))?;
        let rows = statement.query_and_then([since.to_string()], InRefrigerator::from_row)?;
        rows.collect()
    }

    /// Lists the canners with a dial gauge, each with the day of its last test.
    pub(crate) fn dial_gauges(&self) -> Result<Vec<DialGauge>, LedgerError> {
        let mut statement = self.conn.prepare(
            "SELECT c.id, c.name, max(t.on_date) AS tested
             FROM canner c
             JOIN entry n ON n.id = c.entry_id AND n.effective = 1
             LEFT JOIN (SELECT g.canner_id, g.on_date FROM gauge_test g
                        JOIN entry m ON m.id = g.entry_id AND m.effective = 1) t ON t.canner_id = c.id
             WHERE c.method = ?1
             GROUP BY c.id
             ORDER BY c.name_key",
        )?;
        let rows = statement.query_and_then([Method::PressureDial.as_str()], |row| {
            Ok(DialGauge {
                canner: row.get("id")?,
                name: row.get("name")?,
                tested: parsed_opt(row, "tested")?,
            })
        })?;
        rows.collect()
    }

    /// When the ledger was last written to.
    pub(crate) fn last_written(&self) -> Result<DateTime<Utc>, LedgerError> {
        let seconds: i64 = self.conn.query_row(
            "SELECT max(coalesce((SELECT max(at) FROM entry), 0), (SELECT made_at FROM ledger WHERE id = 1))",
            [],
            |row| row.get(0),
        )?;
        Ok(instant(seconds, 0)?.to_utc())
    }
}
