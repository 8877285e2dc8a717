//! What was done the last time, for a question's first suggestion.

use rusqlite::{OptionalExtension, Row};

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::parsed_opt;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Pack;
use crate::values::names::name::Name;

/// Choices of the last batch. Measured facts are not among them: they are never taken over.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct LastTime {
    pub food: Option<FoodId>,
    /// Hot or raw.
    pub pack: Option<Pack>,
    /// The canner of its last load.
    pub canner: Option<String>,
    /// Where the jars went.
    pub place: Option<String>,
    /// The size of its last jar.
    pub size: Option<JarSize>,
    /// The lid lot of its last jar.
    pub lid_lot: Option<String>,
}

/// Batches in force; the caller adds which, and [`NEWEST`].
const BATCHES: &str = "SELECT b.food, b.pack, c.name AS canner, l.name AS place, j.size, t.name AS lid_lot
     FROM batch b
     JOIN entry n ON n.id = b.entry_id AND n.effective = 1
     JOIN product p ON p.id = b.product_id
     JOIN jar j ON j.id = (SELECT max(id) FROM jar WHERE batch_id = b.id)
     LEFT JOIN load o ON o.id = j.load_id
     LEFT JOIN canner c ON c.id = o.canner_id
     LEFT JOIN place l ON l.id = j.born_place_id
     LEFT JOIN lid_lot t ON t.id = j.lid_lot_id";

/// The newest first; those of a list read in, which say little, only where there is no other.
const NEWEST: &str = "ORDER BY b.origin = 'own' DESC, b.put_up DESC, b.id DESC LIMIT 1";

impl LastTime {
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        Ok(Self {
            food: parsed_opt(row, "food")?,
            pack: parsed_opt(row, "pack")?,
            canner: row.get("canner")?,
            place: row.get("place")?,
            size: parsed_opt(row, "size")?,
            lid_lot: row.get("lid_lot")?,
        })
    }
}

impl Ledger {
    /// The choices of the last batch of a product; of a product never put up, only those that do
    /// not hang on the food.
    pub(crate) fn last_time(&self, product: Option<&Name>) -> Result<LastTime, LedgerError> {
        let read = |row: &Row<'_>| Ok(LastTime::from_row(row));
        if let Some(product) = product {
            let last = self
                .conn
                .prepare_cached(&format!("{BATCHES} WHERE p.name_key = ?1 {NEWEST}"))?
                .query_row([product.key()], read)
                .optional()?;
            if let Some(last) = last {
                return last;
            }
        }
        let last = self
            .conn
            .prepare_cached(&format!("{BATCHES} {NEWEST}"))?
            .query_row([], read)
            .optional()?
            .transpose()?;
        Ok(LastTime { food: None, pack: None, ..last.unwrap_or_default() })
    }
}
