//! Names of one kind that are in use, to be offered or to be compared with what was typed.

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;

/// Most names offered.
pub(in crate::ledger) const MOST: usize = 300;

/// Kinds of names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Named {
    /// Of products.
    Product,
    /// Of places.
    Place,
    /// Of lots of lids.
    LidLot,
    /// Of canners.
    Canner,
    /// Of lots of what went in.
    IngredientLot,
    /// Of people who were given jars.
    Person,
    /// Of the household's label sheets.
    LabelSheet,
}

impl Ledger {
    /// Names of a kind that are in use, by name.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read soon.
    pub(crate) fn names_in_use(&self, named: Named) -> Result<Vec<String>, LedgerError> {
        let mut statement = self.conn.prepare(named.query())?;
        let rows = statement.query_and_then([], |row| Ok(row.get(0)?))?;
        rows.take(MOST).collect()
    }
}

impl Named {
    const fn query(self) -> &'static str {
        match self {
            Self::Product => {
                "SELECT name FROM product p WHERE EXISTS (
                     SELECT 1 FROM batch b JOIN entry n ON n.id = b.entry_id AND n.effective = 1
                     WHERE b.product_id = p.id) ORDER BY name_key"
            }
            Self::Place => "SELECT name FROM place ORDER BY name_key",
            Self::LidLot => {
                "SELECT name FROM lid_lot l WHERE EXISTS (
                     SELECT 1 FROM jar WHERE lid_lot_id = l.id AND state <> 'void') ORDER BY name_key"
            }
            Self::Canner => {
                "SELECT c.name FROM canner c JOIN entry n ON n.id = c.entry_id AND n.effective = 1
                 ORDER BY c.name_key"
            }
            Self::IngredientLot => {
                "SELECT DISTINCT i.lot FROM ingredient_lot i JOIN batch b ON b.id = i.batch_id
                 JOIN entry n ON n.id = b.entry_id AND n.effective = 1 ORDER BY i.lot_key"
            }
            Self::Person => {
                // Those of late, among the newest events: nobody waits for all that was ever given.
                "SELECT DISTINCT who FROM (
                     SELECT e.who FROM event e JOIN entry n ON n.id = e.entry_id AND n.effective = 1
                     WHERE e.id > (SELECT max(id) FROM event) - 5000 AND e.act = 'give' AND e.who IS NOT NULL
                     ORDER BY e.id DESC LIMIT 300)
                 ORDER BY who"
            }
            Self::LabelSheet => {
                "SELECT DISTINCT s.name FROM label_sheet s JOIN entry n ON n.id = s.entry_id AND n.effective = 1
                 ORDER BY s.name_key"
            }
        }
    }
}
