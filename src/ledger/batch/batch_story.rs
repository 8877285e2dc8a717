//! Batches as they stand now.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, FixedOffset, NaiveDate};
use rusqlite::{Row, params};

use crate::ledger::batch::load::Load;
use crate::ledger::entry::correct_field::Subject;
use crate::ledger::entry::correction::Correction;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::Jar;
use crate::ledger::schema::row::{date, instant, parsed, parsed_opt};
use crate::rules::jar::jar_state::JarState;
use crate::rules::load::verdict::Verdict;
use crate::rules::load::verdict_words::Compared;
use crate::values::codes::jar_code::BatchCode;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Pack};
use crate::values::names::named::named_enum;

named_enum! {
    /// Where the record of a batch comes from.
    pub enum Origin as "an origin" {
        /// Logged as it was put up.
        Own = "own",
        /// Imported from elsewhere: its process is not on record.
        Import = "import",
    }
}

/// What is on record of a batch as a whole. None means "not recorded".
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Batch {
    #[serde(skip)]
    pub(in crate::ledger) id: i64,
    /// Its code.
    #[serde(rename = "batch")]
    pub code: BatchCode,
    /// What it is.
    pub product: String,
    /// The food of the process tables; none: no published food.
    pub food: Option<FoodId>,
    /// Its acidity.
    pub acidity: Option<Acidity>,
    /// Hot or raw.
    pub pack: Option<Pack>,
    /// The day it was put up.
    pub put_up: NaiveDate,
    /// Where the record comes from.
    pub origin: Origin,
    /// Anything worth keeping.
    pub note: Option<String>,
    /// The household's word, and whose, that the process was right where none is on record.
    pub vouched: Option<String>,
    /// Why its name, which names another food, was let in.
    pub name_reason: Option<String>,
    /// The recipe it was made by, with the version: `Orchard pears, version 2`.
    pub recipe: Option<String>,
}

/// A lot of something that went into a batch.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub(crate) struct IngredientLot {
    /// What it is.
    pub ingredient: String,
    pub lot: String,
}

/// A batch with its loads and jars.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub(crate) struct BatchStory {
    #[serde(flatten)]
    pub batch: Batch,
    /// Lots of what went into it.
    pub ingredients: Vec<IngredientLot>,
    /// The jars of other batches that went into it.
    #[serde(serialize_with = "codes")]
    pub made_with: Vec<Jar>,
    /// Its canner-fulls.
    pub loads: Vec<LoadStory>,
    pub jars: Vec<Jar>,
    /// What was corrected of it as a whole.
    pub corrections: Vec<Correction>,
}

/// A load with its jars.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub(crate) struct LoadStory {
    #[serde(flatten)]
    pub load: Load,
    #[serde(serialize_with = "codes")]
    pub jars: Vec<Jar>,
    pub lid_lots: Vec<String>,
    /// What was corrected of it.
    pub corrections: Vec<Correction>,
}

impl LoadStory {
    /// The sizes of its jars, the smallest first.
    pub fn sizes(&self) -> Vec<JarSize> {
        let sizes: BTreeSet<JarSize> = self.jars.iter().map(|jar| jar.size).collect();
        sizes.into_iter().collect()
    }

    /// What the record of the load was compared with; `sizes` are those of its jars.
    pub(crate) fn compared_with<'a>(&self, batch: &'a Batch, sizes: &'a [JarSize]) -> Compared<'a> {
        Compared { food: batch.food.as_ref(), pack: batch.pack, sizes, method: self.load.method }
    }
}

/// Writes only the codes of jars that are shown in full elsewhere.
fn codes<S: serde::Serializer>(jars: &[Jar], to: S) -> Result<S::Ok, S::Error> {
    to.collect_seq(jars.iter().map(|jar| jar.code))
}

/// A batch in a list.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct BatchLine {
    /// The batch.
    #[serde(flatten)]
    pub batch: Batch,
    /// How many jars were put up.
    pub jars: u32,
    /// How many are in each state.
    pub states: BTreeMap<JarState, u32>,
    /// How many are on hold.
    pub on_hold: u32,
    /// The worst verdict on its loads; none: never judged.
    pub verdict: Option<Verdict>,
    /// When the first of the loads came out whose seals were not all checked.
    pub unchecked_since: Option<DateTime<FixedOffset>>,
}

/// Columns and joins of a [`Batch`]; the caller adds a WHERE on `b`.
const BATCHES: &str = "SELECT b.id, b.year, b.number, p.name AS product, b.food, b.acidity, b.pack, b.put_up,
        b.origin, b.note, b.vouched, b.name_reason,
        (SELECT r.name || ', version ' || r.version FROM recipe r WHERE r.id = b.recipe_id) AS recipe
     FROM batch b
     JOIN entry n ON n.id = b.entry_id AND n.effective = 1
     JOIN product p ON p.id = b.product_id";

impl Batch {
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        Ok(Self {
            id: row.get("id")?,
            code: BatchCode { year: row.get("year")?, number: row.get("number")? },
            product: row.get("product")?,
            food: parsed_opt(row, "food")?,
            acidity: parsed_opt(row, "acidity")?,
            pack: parsed_opt(row, "pack")?,
            put_up: date(row, "put_up")?,
            origin: parsed(row, "origin")?,
            note: row.get("note")?,
            vouched: row.get("vouched")?,
            name_reason: row.get("name_reason")?,
            recipe: row.get("recipe")?,
        })
    }
}

impl Ledger {
    /// Finds a batch.
    ///
    /// # Errors
    /// [`LedgerError::NoBatch`] where no such batch was put up.
    pub fn batch(&self, code: BatchCode) -> Result<Batch, LedgerError> {
        let mut statement =
            self.conn.prepare_cached(&format!("{BATCHES} WHERE b.year = ?1 AND b.number = ?2"))?;
        let mut rows = statement.query(params![code.year, code.number])?;
        match rows.next()? {
            Some(row) => Batch::from_row(row),
            None => Err(LedgerError::NoBatch { given: code, near: self.batches_of_year(code.year)? }),
        }
    }

    /// Reads a batch with its loads and jars.
    ///
    /// # Errors
    /// [`LedgerError::NoBatch`] where no such batch was put up.
    pub(crate) fn batch_story(&self, code: BatchCode) -> Result<BatchStory, LedgerError> {
        let batch = self.batch(code)?;
        let mut statement = self.conn.prepare_cached(
            "SELECT ingredient, lot FROM ingredient_lot WHERE batch_id = ?1 ORDER BY ingredient, lot",
        )?;
        let ingredients = statement
            .query_and_then([batch.id], |row| {
                Ok(IngredientLot { ingredient: row.get("ingredient")?, lot: row.get("lot")? })
            })?
            .collect::<Result<_, LedgerError>>()?;
        let loads = self
            .loads_of_batch(code)?
            .into_iter()
            .map(|load| self.load_story(load))
            .collect::<Result<_, LedgerError>>()?;
        Ok(BatchStory {
            ingredients,
            made_with: self.used_in(code)?,
            loads,
            jars: self.jars_of_batch(code)?,
            corrections: self.corrections(Subject::Batch, batch.id)?,
            batch,
        })
    }

    /// Reads what belongs to a load.
    pub(in crate::ledger) fn load_story(&self, load: Load) -> Result<LoadStory, LedgerError> {
        let corrections = self.corrections(Subject::Load, load.id)?;
        let mut statement = self.conn.prepare_cached(
            "SELECT l.name FROM jar j JOIN lid_lot l ON l.id = j.lid_lot_id
             WHERE j.load_id = ?1 ORDER BY l.name_key",
        )?;
        let mut lid_lots =
            statement.query_map([load.id], |row| row.get(0))?.collect::<Result<Vec<String>, _>>()?;
        lid_lots.dedup();
        Ok(LoadStory { jars: self.jars_of_load(load.id)?, lid_lots, load, corrections })
    }

    /// Hands out every batch, the latest first, with what became of its jars.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read, or whatever `each` returns.
    pub fn each_batch<E: From<LedgerError>>(
        &self,
        mut each: impl FnMut(BatchLine) -> Result<(), E>,
    ) -> Result<(), E> {
        self.at_one_moment(|ledger| {
            let prepared =
                ledger.conn.prepare(&format!("{BATCHES} ORDER BY b.put_up DESC, b.year DESC, b.number DESC"));
            let mut statement = prepared.map_err(LedgerError::from)?;
            let batches = statement.query_and_then([], Batch::from_row).map_err(LedgerError::from)?;
            for batch in batches {
                each(ledger.batch_line(batch?)?)?;
            }
            Ok(())
        })
    }

    /// Counts what became of a batch's jars. By the indexes: a list of all batches is as long as the ledger is old.
    fn batch_line(&self, batch: Batch) -> Result<BatchLine, LedgerError> {
        let mut line = BatchLine {
            batch,
            jars: 0,
            states: BTreeMap::new(),
            on_hold: 0,
            verdict: None,
            unchecked_since: None,
        };
        let mut counts = self.conn.prepare_cached(
            "SELECT state, count(*) AS jars, sum(held) AS held FROM jar WHERE batch_id = ?1 GROUP BY state",
        )?;
        let mut rows = counts.query([line.batch.id])?;
        while let Some(row) = rows.next()? {
            let (state, jars): (JarState, u32) = (parsed(row, "state")?, row.get("jars")?);
            line.jars += jars;
            if state.is_live() {
                line.on_hold += row.get::<_, u32>("held")?;
            }
            line.states.insert(state, jars);
        }
        let mut verdicts = self
            .conn
            .prepare_cached("SELECT verdict FROM load WHERE batch_id = ?1 AND verdict IS NOT NULL")?;
        for verdict in verdicts.query_and_then([line.batch.id], |row| parsed(row, "verdict"))? {
            line.verdict = line.verdict.max(Some(verdict?));
        }
        if line.states.contains_key(&JarState::Cooling) {
            line.unchecked_since = self
                .conn
                .prepare_cached(
                    "SELECT min(o.out_at) AS out_at, o.out_offset
                     FROM jar j JOIN load o ON o.id = j.load_id WHERE j.batch_id = ?1 AND j.state = 'cooling'",
                )?
                .query_and_then([line.batch.id], |row| {
                    let out_at: Option<i64> = row.get("out_at")?;
                    out_at.map(|out_at| instant(out_at, row.get("out_offset")?)).transpose()
                })?
                .next()
                .transpose()?
                .flatten();
        }
        Ok(line)
    }
}
