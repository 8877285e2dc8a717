//! Jars of a shelf that was kept elsewhere, many at a time.
//!
//! Rows of one product, day, food and pack are one batch, wherever they stand in the file: a list
//! sorted by place has one lot in many spots, and what happens to one jar must lead to its sisters.
//! Only where rows with a count over one are alike in everything is each of them a batch. A batch
//! never spans two imports, so that each can be undone by itself.
//!
//! A row comes in once. It is known again by the other list's id, else by what it says and by how
//! many rows of the file said the same before it, so that two like rows stay two and a file sorted
//! anew brings nothing new.

use std::collections::{HashMap, HashSet};
use std::fmt::Write as _;

use chrono::{Datelike, NaiveDate};
use rusqlite::{OptionalExtension, Statement, params};
use uuid::Uuid;

use crate::ledger::entry::names::Names;
use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::error::interrupt;
use crate::ledger::schema::many_rows::ManyRows;
use crate::rules::jar::jar_state::JarState;
use crate::values::codes::jar_code::BatchCode;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Pack};
use crate::values::names::name::Name;
use crate::values::time::civil_day::add_months;

/// Most rows of one import; what is remembered of each stays under 100 MB with them.
pub(crate) const MOST_ROWS: u64 = 1_500_000;

/// Pages of SQLite's cache for an import, in KiB: the keys of rows come in no order.
const CACHE_KIB: u32 = 24 << 10;

/// Keys written at a time, in their order.
const KEYS_AT_A_TIME: usize = 100_000;

/// Most names remembered with their rows.
const NAMES_KEPT: usize = 20_000;

/// Most lots remembered that later rows may belong to; rows of one lot with more lots than these
/// between them come in as two batches.
const LOTS_KEPT: usize = 200_000;

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
    /// How many, where the row says; none: one.
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
    /// Anything about these jars.
    pub note: Option<String>,
    /// The household's word for their process, and whose.
    pub vouched: Option<String>,
    /// Why their name, which names another food, is right.
    pub name_reason: Option<String>,
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

/// What rows of one batch have in common.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
struct Lot {
    product: i64,
    put_up: NaiveDate,
    /// Where the food stands among those met.
    food: Option<u32>,
    pack: Option<Pack>,
    /// Half of the hash of what the household says of it; 0 where it says nothing.
    word: u64,
    /// How many rows before this one were alike in everything, where the count is over one; else 0.
    twin: u32,
}

/// A batch begun by this import.
#[derive(Debug, Clone, Copy)]
struct Begun {
    id: i64,
    jars: u32,
}

/// Takes rows in, one by one, inside the transaction of a command.
pub(crate) struct Importer<'w> {
    write: &'w Write<'w>,
    batch: Statement<'w>,
    jars: ManyRows<'w>,
    known: Statement<'w>,
    keys: ManyRows<'w>,
    keys_to_write: Vec<(String, i64)>,
    /// How often a row was said, by half of the hash of what it says.
    said: HashMap<u64, u32>,
    /// Whether no row ever came in before: then none can be in already.
    first_ever: bool,
    /// Ids among the keys that are not written yet.
    ids: HashSet<String>,
    products: HashMap<String, (i64, u32)>,
    places: HashMap<String, i64>,
    foods: Vec<(FoodId, Option<Acidity>)>,
    lots: HashMap<Lot, Begun>,
    next_number: [Option<u32>; 100],
    done: Imported,
}

impl<'w> Importer<'w> {
    /// Begins.
    pub fn new(write: &'w Write<'w>) -> Result<Self, LedgerError> {
        let conn = &write.conn;
        conn.execute_batch(&format!("PRAGMA cache_size = -{CACHE_KIB}"))?;
        Ok(Self {
            write,
            batch: conn.prepare(
                "INSERT INTO batch (entry_id, year, number, product_id, food, acidity, pack, put_up, origin,
                                    vouched, name_reason)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, 'import', ?9, ?10)",
            )?,
            jars: ManyRows::new(
                conn,
                "jar (batch_id, number, size, best_by, born, born_place_id, state, place_id, note)",
                9,
                "",
            )?,
            known: conn.prepare(
                "SELECT 1 FROM import_row r JOIN batch b ON b.id = r.batch_id
                 JOIN entry n ON n.id = b.entry_id AND n.effective = 1 WHERE r.key = ?1",
            )?,
            // A row whose import was undone comes in anew.
            keys: ManyRows::new(
                conn,
                "import_row (key, batch_id)",
                2,
                "ON CONFLICT (key) DO UPDATE SET batch_id = excluded.batch_id",
            )?,
            keys_to_write: Vec::new(),
            said: HashMap::new(),
            first_ever: conn
                .query_row("SELECT NOT EXISTS (SELECT 1 FROM import_row)", [], |row| row.get(0))?,
            ids: HashSet::new(),
            products: HashMap::new(),
            places: HashMap::new(),
            foods: Vec::new(),
            lots: HashMap::new(),
            next_number: [None; 100],
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
        let (key, times) = self.key_of(row);
        // Two rows of one file may bear one id; without ids their keys differ.
        let may_be_in = !self.first_ever || row.id.is_some();
        let said_before = row.id.is_some() && !self.ids.insert(key.clone());
        if said_before || (may_be_in && self.known.query_row([&key], |_| Ok(())).optional()?.is_some()) {
            self.done.already += 1;
            return Ok(());
        }
        let (product, months) = self.product(&row.product)?;
        let place = row.place.as_ref().map(|place| self.place(place)).transpose()?;
        let best_by = row.best_by.unwrap_or_else(|| add_months(row.put_up, months)).to_string();
        let count = row.count.unwrap_or(1);
        let food = row.food.as_ref().map(|food| self.food(food));
        let twin = if count > 1 { times - 1 } else { 0 };
        let lot = Lot { product, put_up: row.put_up, food, pack: row.pack, word: word_of(row), twin };
        let mut batch = match self.lots.get(&lot) {
            Some(begun) => *begun,
            None => self.begin_batch(product, row)?,
        };
        for _ in 0..count {
            batch.jars += 1;
            let sealed = JarState::Sealed.as_str();
            let size = row.size.as_str();
            self.jars
                .add(params![batch.id, batch.jars, size, best_by, sealed, place, sealed, place, row.note])?;
            self.done.jars += 1;
        }
        if self.lots.len() >= LOTS_KEPT {
            self.lots.clear();
        }
        self.lots.insert(lot, batch);
        self.keys_to_write.push((key, batch.id));
        if self.keys_to_write.len() >= KEYS_AT_A_TIME { self.write_keys() } else { Ok(()) }
    }

    /// Writes what is still to be written, and says what came in.
    pub fn finish(mut self) -> Result<Imported, LedgerError> {
        self.jars.finish()?;
        self.write_keys()?;
        Ok(self.done)
    }

    fn write_keys(&mut self) -> Result<(), LedgerError> {
        self.ids.clear();
        // In their order they touch each page of their index once.
        self.keys_to_write.sort_unstable();
        for (key, batch) in self.keys_to_write.drain(..) {
            self.keys.add(params![key, batch])?;
        }
        self.keys.finish()
    }

    /// What the row is known by, and how often the file has said the same with it. Rows known by an id
    /// are only counted where it matters: with a count over one.
    fn key_of(&mut self, row: &ShelfRow) -> (String, u32) {
        let id = row.id.as_ref().map(|id| format!("id:{id}"));
        if row.count.is_none_or(|count| count == 1)
            && let Some(id) = id
        {
            return (id, 1);
        }
        let hash = Uuid::new_v5(&Uuid::NAMESPACE_OID, said_by(row).as_bytes()).as_u128();
        let times = self.said.entry((hash >> 64) as u64).or_default();
        *times += 1;
        let key = id.unwrap_or_else(|| match *times {
            1 => format!("{hash:032x}"),
            times => format!("{hash:032x}#{times}"),
        });
        (key, *times)
    }

    fn begin_batch(&mut self, product: i64, row: &ShelfRow) -> Result<Begun, LedgerError> {
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
            row.vouched,
            row.name_reason,
        ])?;
        let code = BatchCode { year, number };
        self.done.first.get_or_insert(code);
        self.done.last = Some(code);
        self.done.batches += 1;
        Ok(Begun { id: self.write.conn.last_insert_rowid(), jars: 0 })
    }

    /// Where the food stands among those met: few.
    fn food(&mut self, food: &(FoodId, Option<Acidity>)) -> u32 {
        let at = self.foods.iter().position(|met| met == food).unwrap_or_else(|| {
            self.foods.push(food.clone());
            self.foods.len() - 1
        });
        at as u32
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

/// What the household says of a row's process and name, which rows of one batch have in common.
fn word_of(row: &ShelfRow) -> u64 {
    if row.vouched.is_none() && row.name_reason.is_none() {
        return 0;
    }
    let said = format!("{:?}{:?}", row.vouched, row.name_reason);
    (Uuid::new_v5(&Uuid::NAMESPACE_OID, said.as_bytes()).as_u128() >> 64) as u64
}

/// What a row says, the same for two rows that say the same.
fn said_by(row: &ShelfRow) -> String {
    let mut said = row.product.key();
    let (count, size) = (row.count.unwrap_or(1), row.size.as_str());
    let place = row.place.as_ref().map(Name::key).unwrap_or_default();
    let food = row.food.as_ref().map_or("", |(food, _)| food.as_str());
    let pack = row.pack.map_or("", Pack::as_str);
    let note = row.note.as_deref().unwrap_or_default();
    let _never_fails = write!(said, "\u{1f}{}\u{1f}{size}\u{1f}{count}\u{1f}{place}\u{1f}", row.put_up);
    if let Some(best_by) = row.best_by {
        let _never_fails = write!(said, "{best_by}");
    }
    for part in [food, pack, note] {
        said.push('\u{1f}');
        said.push_str(part);
    }
    said
}
