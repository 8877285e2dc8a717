//! Putting up: a batch, its loads and its jars.

use chrono::{Datelike, NaiveDate};
use rusqlite::types::Value;
use rusqlite::{params, params_from_iter};

use crate::ledger::batch::load_facts::LoadFacts;
use crate::ledger::entry::names::Names;
use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::rules::food::name_check::{NameConflict, WAY_OUT, name_conflict};
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::codes::load_code::LoadCode;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Pack};
use crate::values::names::name::Name;
use crate::values::time::civil_day::add_months;

/// A batch to be logged.
#[derive(Debug, Clone, PartialEq)]
pub struct NewBatch {
    /// What it is.
    pub product: Name,
    /// The food of the process tables, where there is one.
    pub food: Option<FoodId>,
    /// Its acidity, where known.
    pub acidity: Option<Acidity>,
    /// Hot or raw.
    pub pack: Option<Pack>,
    /// The day it was put up.
    pub put_up: NaiveDate,
    /// Months of best quality; none: what the product has, else 12.
    pub quality_months: Option<u32>,
    /// Where the jars go.
    pub place: Option<Name>,
    /// Ingredient and lot.
    pub ingredient_lots: Vec<(Name, Name)>,
    /// Anything worth keeping.
    pub note: Option<String>,
    /// Why a product whose name names another food may be put up all the same.
    pub name_reason: Option<String>,
    /// The recipe it was made by, in its newest version.
    pub recipe: Option<Name>,
    /// The canner-fulls.
    pub loads: Vec<NewLoad>,
}

/// One canner-full to be logged. None means "not recorded".
#[derive(Debug, Clone, PartialEq)]
pub struct NewLoad {
    /// The canner.
    pub canner: Option<Name>,
    /// What it went through.
    pub facts: LoadFacts,
    /// The lid lot.
    pub lid_lot: Option<Name>,
    /// Sizes and counts.
    pub jars: Vec<(JarSize, u32)>,
    /// The run it was timed by.
    pub run: Option<i64>,
}

/// A batch as it was logged.
#[derive(Debug, Clone, PartialEq)]
pub struct Logged {
    /// Its code.
    pub batch: BatchCode,
    /// Its jars, load by load.
    pub jars: Vec<JarCode>,
    /// Its loads.
    pub loads: Vec<LoadCode>,
}

impl Write<'_> {
    /// Logs a batch: its row, its loads and its jars, all cooling.
    ///
    /// # Errors
    /// [`LedgerError`] when a canner is unknown, the product's name names another food and no reason is given, or a
    /// row cannot be written.
    pub fn put_up(&self, new: &NewBatch) -> Result<Logged, LedgerError> {
        let doubt = name_conflict(new.product.as_str(), new.food.as_ref(), new.acidity);
        if let Some(conflict) = doubt.filter(|_| new.name_reason.is_none()) {
            return Err(LedgerError::Refused {
                what: conflict.of(&new.product, new.food.as_ref()),
                hint: WAY_OUT.to_owned(),
            });
        }
        let product = self.name_id_or_new(Names::Product, &new.product)?;
        if let Some(months) = new.quality_months {
            self.set_quality_months(&new.product, months)?;
        }
        let months = self.quality_months(&new.product)?;
        let best_by = add_months(new.put_up, months);
        let (batch_id, batch) = self.insert_batch(new, product, doubt)?;
        for (ingredient, lot) in &new.ingredient_lots {
            self.conn.execute(
                "INSERT INTO ingredient_lot (batch_id, ingredient, lot, lot_key) VALUES (?1, ?2, ?3, ?4)",
                params![batch_id, ingredient.as_str(), lot.as_str(), lot.key()],
            )?;
        }
        let place = new.place.as_ref().map(|place| self.name_id_or_new(Names::Place, place)).transpose()?;
        let mut logged = Logged { batch, jars: Vec::new(), loads: Vec::new() };
        for (load, at) in new.loads.iter().zip(1..) {
            let load_id = self.insert_load(batch_id, at, load)?;
            logged.loads.push(LoadCode { batch, number: at });
            let lid_lot =
                load.lid_lot.as_ref().map(|lot| self.name_id_or_new(Names::LidLot, lot)).transpose()?;
            let mut insert = self.conn.prepare_cached(
                "INSERT INTO jar (batch_id, number, size, load_id, lid_lot_id, best_by, born, born_place_id,
                                  state, place_id)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, 'cooling', ?7, 'cooling', ?7)",
            )?;
            for &(size, count) in &load.jars {
                for _ in 0..count {
                    let number = logged.jars.len() as u32 + 1;
                    insert.execute(params![
                        batch_id,
                        number,
                        size.as_str(),
                        load_id,
                        lid_lot,
                        best_by.to_string(),
                        place
                    ])?;
                    logged.jars.push(JarCode { batch, number });
                }
            }
        }
        Ok(logged)
    }

    /// The number the next batch of a year gets.
    pub(in crate::ledger) fn next_batch_number(&self, year: u8) -> Result<u32, LedgerError> {
        // Numbers of batches undone are not given out again: their codes may be on a lid.
        Ok(self.conn.query_row(
            "SELECT coalesce(max(number), 0) + 1 FROM batch WHERE year = ?1",
            [year],
            |row| row.get(0),
        )?)
    }

    fn insert_batch(
        &self,
        new: &NewBatch,
        product: i64,
        doubt: Option<NameConflict>,
    ) -> Result<(i64, BatchCode), LedgerError> {
        let year = new.put_up.year().rem_euclid(100) as u8;
        let number = self.next_batch_number(year)?;
        let recipe = new.recipe.as_ref().map(|name| self.recipe(name)).transpose()?.map(|recipe| recipe.id);
        self.conn.execute(
            "INSERT INTO batch (entry_id, year, number, product_id, food, acidity, pack, put_up, note, name_reason,
                                recipe_id)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
            params![
                self.entry.0,
                year,
                number,
                product,
                new.food.as_ref().map(FoodId::as_str),
                new.acidity.map(Acidity::as_str),
                new.pack.map(Pack::as_str),
                new.put_up.to_string(),
                new.note,
                doubt.and(new.name_reason.as_ref()),
                recipe,
            ],
        )?;
        Ok((self.conn.last_insert_rowid(), BatchCode { year, number }))
    }

    fn insert_load(&self, batch_id: i64, number: u32, load: &NewLoad) -> Result<i64, LedgerError> {
        let canner = load.canner.as_ref().map(|name| self.canner(name)).transpose()?;
        let of_load: [(&str, Value); 4] = [
            ("batch_id", batch_id.into()),
            ("number", number.into()),
            ("canner_id", canner.map(|canner| canner.id).into()),
            ("run_id", load.run.into()),
        ];
        let (columns, values): (Vec<_>, Vec<_>) = of_load.into_iter().chain(load.facts.columns()).unzip();
        let places = vec!["?"; columns.len()].join(", ");
        self.conn.execute(
            &format!("INSERT INTO load ({}) VALUES ({places})", columns.join(", ")),
            params_from_iter(values),
        )?;
        let load_id = self.conn.last_insert_rowid();
        for (drop, number) in load.facts.drops.iter().zip(1..) {
            self.conn.execute(
                "INSERT INTO load_drop (load_id, number, told) VALUES (?1, ?2, ?3)",
                params![load_id, number, drop.to_string()],
            )?;
        }
        Ok(load_id)
    }
}
