//! Jars of a shelf that was kept elsewhere, many at a time.
//!
//! Rows that follow one another and say the same of their jars are one batch, unless a row gives a
//! count: then it is a batch of its own. A row comes in once. It is known again by the other
//! list's id, else by what it says and by how many rows of the file said the same before it, so
//! that two like rows stay two and a file sorted anew brings nothing new.

use std::collections::HashMap;

use chrono::{Datelike, NaiveDate};
use rusqlite::{OptionalExtension, Statement, params};
use uuid::Uuid;

use super::names::Names;
use super::{LedgerError, Write, interrupt};
use crate::rules::civil_day::add_months;
use crate::rules::food::FoodId;
use crate::rules::jar_code::BatchCode;
use crate::rules::jar_size::JarSize;
use crate::rules::method::{Acidity, Pack};
use crate::rules::name::Name;

/// Most rows of one import; what is remembered of each stays under 100 MB with them.
pub const MOST_ROWS: u64 = 1_500_000;

/// Pages of SQLite's cache for an import, in KiB: the keys of rows come in no order.
const CACHE_KIB: u32 = 24 << 10;

/// Keys written at a time, in their order.
const KEYS_AT_A_TIME: usize = 100_000;

/// Most names remembered with their rows.
const NAMES_KEPT: usize = 20_000;

/// Rows between two looks for an interrupt.
const ROWS_PER_LOOK: u64 = 1_000;

/// What one row says of its jars.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfRow {
    /// What is in them.
    pub product: Name,
    /// The day they were put up.
    pub put_up: NaiveDate,
    /// Their size.
    pub size: JarSize,
    /// How many, where the row says; none: one, and rows like it are of the same batch.
    pub count: Option<u32>,
    /// Where they stand.
    pub place: Option<Name>,
    /// Best quality until; none: the product's months after the day they were put up.
    pub best_by: Option<NaiveDate>,
    /// The food of the process tables, and its acidity.
    pub food: Option<(FoodId, Option<Acidity>)>,
    /// Hot or raw.
    pub pack: Option<Pack>,
    /// The other list's name for the row.
    pub id: Option<String>,
    /// Anything.
    pub note: Option<String>,
}

/// What an import did.
#[derive(Debug, Clone, Default, PartialEq, Eq, serde::Serialize)]
pub struct Imported {
    /// Rows read.
    pub rows: u64,
    /// Rows that were there already.
    pub already: u64,
    /// Jars that came in.
    pub jars: u64,
    /// Batches they came in.
    pub batches: u64,
    /// The first of them.
    pub first: Option<BatchCode>,
    /// The last of them.
    pub last: Option<BatchCode>,
}

/// A batch that the next row may belong to.
struct Open {
    id: i64,
    row: ShelfRow,
    jars: u32,
    best_by: String,
    place: Option<i64>,
}

/// Takes rows in, one by one, inside the transaction of a command.
pub struct Importer<'w> {
    write: &'w Write<'w>,
    batch: Statement<'w>,
    jar: Statement<'w>,
    known: Statement<'w>,
    key: Statement<'w>,
    /// How often a row was said, by half of the hash of what it says.
    said: HashMap<u64, u32>,
    /// Whether no row ever came in before: then none can be in already.
    first_ever: bool,
    keys: Vec<(String, i64)>,
    products: HashMap<String, (i64, u32)>,
    places: HashMap<String, i64>,
    next_number: [Option<u32>; 100],
    open: Option<Open>,
    done: Imported,
}

impl<'w> Importer<'w> {
    /// Begins.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read.
    pub fn new(write: &'w Write<'w>) -> Result<Self, LedgerError> {
        let conn = &write.conn;
        conn.execute_batch(&format!("PRAGMA cache_size = -{CACHE_KIB}"))?;
        Ok(Self {
            write,
            batch: conn.prepare(
                "INSERT INTO batch (entry_id, year, number, product_id, food, acidity, pack, put_up, origin, note)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, 'import', ?9)",
            )?,
            jar: conn.prepare(
                "INSERT INTO jar (batch_id, number, size, best_by, born, born_place_id, state, place_id)
                 VALUES (?1, ?2, ?3, ?4, 'sealed', ?5, 'sealed', ?5)",
            )?,
            known: conn.prepare(
                "SELECT 1 FROM import_row r JOIN batch b ON b.id = r.batch_id
                 JOIN entry n ON n.id = b.entry_id AND n.effective = 1 WHERE r.key = ?1",
            )?,
            // A row whose import was undone comes in anew.
            key: conn.prepare(
                "INSERT INTO import_row (key, batch_id) VALUES (?1, ?2)
                 ON CONFLICT (key) DO UPDATE SET batch_id = excluded.batch_id",
            )?,
            said: HashMap::new(),
            first_ever: conn
                .query_row("SELECT NOT EXISTS (SELECT 1 FROM import_row)", [], |row| row.get(0))?,
            keys: Vec::new(),
            products: HashMap::new(),
            places: HashMap::new(),
            next_number: [None; 100],
            open: None,
            done: Imported::default(),
        })
    }

    /// Takes a row in, unless it is in already.
    ///
    /// # Errors
    /// [`LedgerError::Interrupted`], or what keeps a row from being written.
    pub fn add(&mut self, row: &ShelfRow) -> Result<(), LedgerError> {
        self.done.rows += 1;
        if self.done.rows.is_multiple_of(ROWS_PER_LOOK) && interrupt::asked() {
            return Err(LedgerError::Interrupted);
        }
        let key = self.key_of(row);
        // Two rows of one file may bear one id; without ids their keys differ.
        let may_be_in = !self.first_ever || row.id.is_some();
        if may_be_in && self.known.query_row([&key], |_| Ok(())).optional()?.is_some() {
            self.done.already += 1;
            return Ok(());
        }
        let mut open = match self.open.take().filter(|open| same_batch(&open.row, row)) {
            Some(open) => open,
            None => self.begin_batch(row)?,
        };
        for _ in 0..row.count.unwrap_or(1) {
            open.jars += 1;
            self.jar.execute(params![open.id, open.jars, row.size.as_str(), open.best_by, open.place])?;
            self.done.jars += 1;
        }
        self.keys.push((key, open.id));
        self.open = Some(open);
        if self.keys.len() >= KEYS_AT_A_TIME { self.write_keys() } else { Ok(()) }
    }

    /// Writes what is still to be written, and says what came in.
    ///
    /// # Errors
    /// What keeps a row from being written.
    pub fn finish(mut self) -> Result<Imported, LedgerError> {
        self.write_keys()?;
        Ok(self.done)
    }

    fn write_keys(&mut self) -> Result<(), LedgerError> {
        // In their order they touch each page of their index once.
        self.keys.sort_unstable();
        for (key, batch) in self.keys.drain(..) {
            self.key.execute(params![key, batch])?;
        }
        Ok(())
    }

    /// What the row is known by.
    fn key_of(&mut self, row: &ShelfRow) -> String {
        if let Some(id) = &row.id {
            return format!("id:{id}");
        }
        let hash = Uuid::new_v5(&Uuid::NAMESPACE_OID, said_by(row).as_bytes()).as_u128();
        let times = self.said.entry((hash >> 64) as u64).or_default();
        *times += 1;
        if *times == 1 { format!("{hash:032x}") } else { format!("{hash:032x}#{times}") }
    }

    fn begin_batch(&mut self, row: &ShelfRow) -> Result<Open, LedgerError> {
        let (product, months) = self.product(&row.product)?;
        let place = row.place.as_ref().map(|place| self.place(place)).transpose()?;
        let best_by = row.best_by.unwrap_or_else(|| add_months(row.put_up, months));
        let year = row.put_up.year().rem_euclid(100) as u8;
        let number = self.number(year)?;
        let (food, acidity) =
            row.food.as_ref().map_or((None, None), |(food, acidity)| (Some(food), *acidity));
        self.batch.execute(params![
            self.write.entry.0,
            year,
            number,
            product,
            food.map(FoodId::as_str),
            acidity.map(Acidity::as_str),
            row.pack.map(Pack::as_str),
            row.put_up.to_string(),
            row.note,
        ])?;
        let code = BatchCode { year, number };
        self.done.first.get_or_insert(code);
        self.done.last = Some(code);
        self.done.batches += 1;
        let id = self.write.conn.last_insert_rowid();
        Ok(Open { id, row: row.clone(), jars: 0, best_by: best_by.to_string(), place })
    }

    fn number(&mut self, year: u8) -> Result<u32, LedgerError> {
        let number = match self.next_number[usize::from(year)] {
            Some(number) => number,
            None => self.write.next_batch_number(year)?,
        };
        self.next_number[usize::from(year)] = Some(number + 1);
        Ok(number)
    }

    fn product(&mut self, name: &Name) -> Result<(i64, u32), LedgerError> {
        if let Some(found) = self.products.get(name.as_str()) {
            return Ok(*found);
        }
        if self.products.len() >= NAMES_KEPT {
            self.products.clear();
        }
        let found = (self.write.name_id_or_new(Names::Product, name)?, self.write.quality_months(name)?);
        self.products.insert(name.as_str().to_owned(), found);
        Ok(found)
    }

    fn place(&mut self, name: &Name) -> Result<i64, LedgerError> {
        if let Some(found) = self.places.get(name.as_str()) {
            return Ok(*found);
        }
        if self.places.len() >= NAMES_KEPT {
            self.places.clear();
        }
        let found = self.write.name_id_or_new(Names::Place, name)?;
        self.places.insert(name.as_str().to_owned(), found);
        Ok(found)
    }
}

/// Whether two rows without a count can be jars of one batch: all but size and id are alike.
fn same_batch(a: &ShelfRow, b: &ShelfRow) -> bool {
    a.count.is_none()
        && b.count.is_none()
        && a.product == b.product
        && a.put_up == b.put_up
        && a.place == b.place
        && a.best_by == b.best_by
        && a.food == b.food
        && a.pack == b.pack
        && a.note == b.note
}

/// What a row says, the same for two rows that say the same.
fn said_by(row: &ShelfRow) -> String {
    let place = row.place.as_ref().map(Name::key).unwrap_or_default();
    let best_by = row.best_by.map(|day| day.to_string()).unwrap_or_default();
    let food = row.food.as_ref().map_or("", |(food, _)| food.as_str());
    let pack = row.pack.map_or("", Pack::as_str);
    let note = row.note.as_deref().unwrap_or_default();
    let count = row.count.unwrap_or(1);
    let (product, put_up, size) = (row.product.key(), row.put_up, row.size);
    [
        product.as_str(),
        &put_up.to_string(),
        size.as_str(),
        &count.to_string(),
        &place,
        &best_by,
        food,
        pack,
        note,
    ]
    .join("\u{1f}")
}
