//! How a product was made the last time.

use rusqlite::OptionalExtension;

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::parsed_opt;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::method::Pack;
use crate::values::names::name::Name;

/// How a product was made the last time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct LastMade {
    /// The food of the process tables, where it was given.
    pub food: Option<FoodId>,
    /// Hot or raw, where it was given.
    pub pack: Option<Pack>,
}

impl Ledger {
    /// How a product was made the last time; none if it never was.
    pub(crate) fn last_made(&self, product: &Name) -> Result<Option<LastMade>, LedgerError> {
        self.conn
            .prepare_cached(
                "SELECT b.food, b.pack FROM batch b
                 JOIN product p ON p.id = b.product_id
                 JOIN entry n ON n.id = b.entry_id AND n.effective = 1
                 WHERE p.name_key = ?1 ORDER BY b.put_up DESC, b.id DESC LIMIT 1",
            )?
            .query_row([product.key()], |row| {
                Ok(parsed_opt(row, "food")
                    .and_then(|food| Ok(LastMade { food, pack: parsed_opt(row, "pack")? })))
            })
            .optional()?
            .transpose()
    }
}
