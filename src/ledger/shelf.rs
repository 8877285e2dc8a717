//! The stock: live jars counted by what they are and where they stand.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::live::{LiveJar, Which};
use super::{Ledger, LedgerError};
use crate::rules::jar_size::JarSize;
use crate::rules::jar_state::JarState;

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
    /// Whether no process is on record for them.
    pub unrecorded: bool,
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

/// The live jars and their counts.
#[derive(Debug, Clone, PartialEq)]
pub struct Shelf {
    /// Counts by product, size, state and place.
    pub stock: Vec<Stock>,
    /// The jars counted, by product and in the order to eat them.
    pub jars: Vec<LiveJar>,
}

impl Ledger {
    /// Counts the live jars in one pass.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read.
    pub fn shelf(&self, which: &Which, today: NaiveDate) -> Result<Shelf, LedgerError> {
        let jars = self.live_jars(which)?;
        let mut stock = Vec::new();
        for of_product in jars.chunk_by(|a, b| a.jar.product == b.jar.product) {
            let mut alike: BTreeMap<_, Stock> = BTreeMap::new();
            for live in of_product {
                let jar = &live.jar;
                let key = (jar.size, jar.state, jar.on_hold, live.unrecorded, &jar.place);
                let counted = alike.entry(key).or_insert_with(|| Stock {
                    product: jar.product.clone(),
                    size: jar.size,
                    state: jar.state,
                    on_hold: jar.on_hold,
                    unrecorded: live.unrecorded,
                    place: jar.place.clone(),
                    jars: 0,
                    past_best: 0,
                    oldest: jar.put_up,
                    best_by: jar.best_by,
                });
                counted.jars += 1;
                counted.past_best += u32::from(jar.best_by < today);
                counted.oldest = counted.oldest.min(jar.put_up);
                counted.best_by = counted.best_by.min(jar.best_by);
            }
            stock.extend(alike.into_values());
        }
        Ok(Shelf { stock, jars })
    }
}
