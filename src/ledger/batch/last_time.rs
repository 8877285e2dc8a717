//! What was done the last time, for a question's first suggestion.

use rusqlite::{Row, ToSql};

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
const BATCHES: &str = "SELECT b.food, b.pack, c.name AS canner, l.name AS place, j.size, t.name AS lid_lot,
        b.origin = 'own' AS is_own
     FROM batch b
     JOIN entry n ON n.id = b.entry_id AND n.effective = 1
     JOIN product p ON p.id = b.product_id
     JOIN jar j ON j.id = (SELECT max(id) FROM jar WHERE batch_id = b.id)
     LEFT JOIN load o ON o.id = j.load_id
     LEFT JOIN canner c ON c.id = o.canner_id
     LEFT JOIN place l ON l.id = j.born_place_id
     LEFT JOIN lid_lot t ON t.id = j.lid_lot_id";

/// The newest first; those of a list read in, which say little, only where there is no other.
const NEWEST: &str = "ORDER BY is_own DESC, b.put_up DESC, b.id DESC LIMIT 1";

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
    /// The choices of the last batch of a product. Where it was never put up here, those that do not hang on the food are of
    /// the last batch of any product.
    pub(crate) fn last_time(&self, product: Option<&Name>) -> Result<LastTime, LedgerError> {
        let of_product = match product {
            Some(product) => self.newest("WHERE p.name_key = ?1", &[&product.key()])?,
            None => None,
        };
        let of_product = match of_product {
            Some((last, true)) => return Ok(last),
            read_in => read_in.map(|(last, _)| last).unwrap_or_default(),
        };
        let (newest, _) = self.newest("", &[])?.unwrap_or_default();
        Ok(LastTime { food: of_product.food, pack: of_product.pack, ..newest })
    }

    /// The newest of some batches, and whether it was put up here.
    fn newest(
        &self,
        which: &str,
        parameters: &[&dyn ToSql],
    ) -> Result<Option<(LastTime, bool)>, LedgerError> {
        let mut statement = self.conn.prepare_cached(&format!("{BATCHES} {which} {NEWEST}"))?;
        let mut rows = statement.query(parameters)?;
        rows.next()?.map(|row| Ok((LastTime::from_row(row)?, row.get("is_own")?))).transpose()
    }
}

#[cfg(test)]
mod tests {
    use crate::ledger::batch::import::{Importer, ShelfRow};
    use crate::ledger::tests::household::Household;
    use crate::values::kinds::jar_size::JarSize;
    use crate::values::kinds::method::Pack;

    #[test]
    fn what_a_list_read_in_does_not_say_is_taken_from_the_last_batch_put_up_here() {
        let household = Household::at("2026-09-01T10:30");
        household.pints(("Green beans", "green-beans"), 1, 20);
        let row = ShelfRow {
            product: "Pears".parse().unwrap(),
            put_up: "2026-08-09".parse().unwrap(),
            size: JarSize::Quart,
            count: None,
            place: None,
            best_by: None,
            food: Some(("pears".parse().unwrap(), None)),
            pack: Some(Pack::Hot),
            id: None,
            note: None,
            vouched: None,
            name_reason: None,
        };
        let import = household.entry(|write| {
            let mut importer = Importer::new(write)?;
            importer.add(&row)?;
            importer.finish()
        });
        assert!(import.is_ok(), "{:?}", import.err());
        let last = |product: &str| household.ledger.last_time(Some(&product.parse().unwrap())).unwrap();
        let (beans, pears, jam) = (last("green beans"), last("pears"), last("jam"));
        assert!(beans.food.is_some() && beans.canner.is_some());
        assert_eq!(pears.food.unwrap().as_str(), "pears");
        assert_eq!(
            (pears.pack, &pears.canner, pears.size),
            (Some(Pack::Hot), &beans.canner, Some(JarSize::Pint))
        );
        assert_eq!((jam.food, jam.pack, jam.canner), (None, None, beans.canner));
    }
}
