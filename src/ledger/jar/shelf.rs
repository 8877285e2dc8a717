//! The stock: live jars counted by what they are and where they stand.

use chrono::NaiveDate;
use rusqlite::params_from_iter;

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::{process_columns, process_mark};
use crate::ledger::jar::live::Which;
use crate::ledger::schema::row::Columns;
use crate::rules::jar::jar_state::JarState;
use crate::rules::load::process_record::ProcessMark;
use crate::values::kinds::jar_size::JarSize;

/// Jars alike in product, size, state and place.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Stock {
    /// What is in them.
    pub product: String,
    /// Their size.
    pub size: JarSize,
    /// Where they stand in their life.
    pub state: JarState,
    /// Whether they are withheld from eating.
    pub on_hold: bool,
    /// What must be said of their process.
    #[serde(flatten)]
    pub process: ProcessMark,
    /// Where they are kept.
    pub place: Option<String>,
    /// How many there are.
    pub jars: u32,
    /// How many of them have their best by before today.
    pub past_best: u32,
    /// The day the oldest was put up.
    pub oldest: NaiveDate,
    /// The first best by among them.
    pub best_by: NaiveDate,
}

impl Stock {
    fn from_columns(columns: &mut Columns<'_, '_>) -> Result<Self, LedgerError> {
        Ok(Self {
            product: columns.take()?,
            size: columns.parsed()?,
            state: columns.parsed()?,
            on_hold: columns.take()?,
            process: process_mark(columns)?,
            place: columns.take()?,
            jars: columns.take()?,
            past_best: columns.take()?,
            oldest: columns.day()?,
            best_by: columns.day()?,
        })
    }
}

impl Ledger {
    /// Counts the live jars by product, size, state and place, in one pass.
    pub fn shelf(&self, which: &Which, today: NaiveDate) -> Result<Vec<Stock>, LedgerError> {
        let (conditions, mut parameters) = which.conditions();
        // The numbered one comes first, the others follow it.
        parameters.insert(0, today.to_string().into());
        let mut statement = self.conn.prepare_cached(&format!(
            "SELECT p.name_key, p.name AS product, j.size, j.state, j.held,
                    {},
                    l.name AS place,
                    count(*) AS jars, sum(j.best_by < ?1) AS past_best,
                    min(b.put_up) AS oldest, min(j.best_by) AS first_best_by
             FROM jar j INDEXED BY jar_live
             CROSS JOIN batch b ON b.id = j.batch_id
             CROSS JOIN product p ON p.id = b.product_id
             LEFT JOIN place l ON l.id = j.place_id
             LEFT JOIN load o ON o.id = j.load_id
             WHERE {conditions}
             GROUP BY p.id, j.size, j.state, j.held, unrecorded, own_process, vouched, l.id",
            process_columns!()
        ))?;
        let mut stock: Vec<(String, Stock)> = statement
            .query_and_then(params_from_iter(parameters), |row| {
                let mut columns = Columns::of(row);
                Ok((columns.take()?, Stock::from_columns(&mut columns)?))
            })?
            .collect::<Result<_, LedgerError>>()?;
        stock.sort_by(|(a_key, a), (b_key, b)| {
            let alike = |stock: &Stock| (stock.size, stock.state, stock.on_hold);
            (a_key, alike(a), &a.process, &a.place).cmp(&(b_key, alike(b), &b.process, &b.place))
        });
        Ok(stock.into_iter().map(|(_, stock)| stock).collect())
    }
}
