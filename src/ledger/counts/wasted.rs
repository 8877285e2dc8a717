//! Jars that were thrown away.

use chrono::NaiveDate;
use rusqlite::Row;

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::{batch_code, date};
use crate::values::codes::jar_code::JarCode;

/// A jar thrown away.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Wasted {
    /// The jar.
    pub jar: JarCode,
    /// What was in it.
    pub product: String,
    /// When.
    pub day: NaiveDate,
    /// The reason given.
    pub why: Option<String>,
}

impl Wasted {
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        let batch = batch_code(row)?;
        Ok(Self {
            jar: JarCode { batch, number: row.get("number")? },
            product: row.get("product")?,
            day: date(row, "on_date")?,
            why: row.get("why")?,
        })
    }
}

impl Ledger {
    /// Lists the jars thrown away on `since` or later, the latest first.
    pub fn wasted(&self, since: NaiveDate) -> Result<Vec<Wasted>, LedgerError> {
        let mut statement = self.conn.prepare(
            "SELECT b.year, b.number AS batch_number, j.number, p.name AS product, v.on_date, v.why
             FROM event v
             JOIN entry n ON n.id = v.entry_id AND n.effective = 1
             JOIN jar j ON j.id = v.jar_id AND j.state = 'discarded'
             JOIN batch b ON b.id = j.batch_id
             JOIN product p ON p.id = b.product_id
             WHERE v.act = 'discard' AND v.on_date >= ?1
             ORDER BY v.on_date DESC, v.id DESC",
        )?;
        let rows = statement.query_and_then([since.to_string()], Wasted::from_row)?;
        rows.collect()
    }
}
