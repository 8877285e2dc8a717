//! The live jars as jars that are alike, batch by batch, for answers that count many and show few.

use chrono::NaiveDate;
use rusqlite::{Row, Statement};

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::{process_columns, process_mark};
use crate::ledger::jar::live::{JarId, LIVE};
use crate::ledger::schema::row::{Columns, known};
use crate::rules::load::process_record::ProcessMark;
use crate::values::codes::jar_code::BatchCode;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::time::iso_day::IsoDay;

/// Jars of a batch that are alike.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct AlikeJars {
    pub batch: BatchCode,
    /// What is in them.
    pub product: String,
    pub size: JarSize,
    /// The day they were put up.
    pub put_up: NaiveDate,
    /// Best quality until this day.
    pub best_by: NaiveDate,
    /// Whether they may be eaten: sealed, checked and not on hold.
    pub good: bool,
    /// The food of the process tables, where there is one.
    pub food: Option<FoodId>,
    /// What must be said of their process.
    pub process: ProcessMark,
    /// The jars, in the order of their numbers.
    pub ids: Vec<JarId>,
}

/// What jars that stand side by side in the index have in common.
struct SideBySide {
    batch: i64,
    load: Option<i64>,
    good: bool,
    size: String,
    best_by: String,
    ids: Vec<JarId>,
}

impl SideBySide {
    fn of(row: &Row<'_>) -> Result<Self, LedgerError> {
        let mut columns = Columns::of(row);
        Ok(Self {
            ids: vec![JarId(columns.take()?)],
            batch: columns.take()?,
            load: columns.take()?,
            good: columns.take()?,
            size: columns.take()?,
            best_by: columns.take()?,
        })
    }

    /// Takes in the jar of the next row, if it is alike.
    fn add(&mut self, row: &Row<'_>) -> Result<bool, LedgerError> {
        let text =
            |at: usize| Ok::<_, LedgerError>(row.get_ref(at)?.as_str().map_err(rusqlite::Error::from)?);
        let is_alike = self.batch == row.get::<_, i64>(1)?
            && self.load == row.get::<_, Option<i64>>(2)?
            && self.good == row.get::<_, bool>(3)?
            && self.size == text(4)?
            && self.best_by == text(5)?;
        if is_alike {
            self.ids.push(JarId(row.get(0)?));
        }
        Ok(is_alike)
    }
}

impl Ledger {
    /// Hands out the live jars, batch by batch.
    pub(crate) fn alike_jars(&self, mut each: impl FnMut(AlikeJars)) -> Result<(), LedgerError> {
        // Read in the order of the index, and what a batch or a load says looked up once for all its jars: to group, sort
        // or join jar by jar takes longer than all the rest.
        let mut statement = self.conn.prepare_cached(&format!(
            "SELECT j.id, j.batch_id, j.load_id, j.state = 'sealed' AND j.held = 0, j.size, j.best_by
             FROM jar j INDEXED BY jar_live WHERE {LIVE}"
        ))?;
        let mut of_a_batch = self.conn.prepare_cached(OF_A_BATCH)?;
        let mut rows = statement.query([])?;
        let mut alike: Option<SideBySide> = None;
        while let Some(row) = rows.next()? {
            match &mut alike {
                Some(before) => {
                    if !before.add(row)? {
                        let before = std::mem::replace(before, SideBySide::of(row)?);
                        AlikeJars::of(before, &mut of_a_batch)?.map(&mut each);
                    }
                }
                None => alike = Some(SideBySide::of(row)?),
            }
        }
        if let Some(last) = alike {
            AlikeJars::of(last, &mut of_a_batch)?.map(each);
        }
        Ok(())
    }
}

/// What a batch and a load say of jars that are alike.
const OF_A_BATCH: &str = concat!(
    "SELECT ",
    process_columns!(),
    ", b.year, b.number, p.name AS product, b.put_up, b.food
     FROM batch b CROSS JOIN product p ON p.id = b.product_id LEFT JOIN load o ON o.id = ?2 WHERE b.id = ?1"
);

impl AlikeJars {
    fn of(jars: SideBySide, of_a_batch: &mut Statement<'_>) -> Result<Option<Self>, LedgerError> {
        let mut rows = of_a_batch.query((jars.batch, jars.load))?;
        let Some(row) = rows.next()? else { return Ok(None) };
        let mut columns = Columns::of(row);
        Ok(Some(Self {
            process: process_mark(&mut columns)?,
            batch: BatchCode { year: columns.take()?, number: columns.take()? },
            product: columns.take()?,
            put_up: columns.day()?,
            food: columns.parsed_opt()?,
            good: jars.good,
            size: known(&jars.size, "size")?,
            best_by: known::<IsoDay>(&jars.best_by, "best_by")?.0,
            ids: jars.ids,
        }))
    }
}
