//! What one jar shares with others, beyond its batch.

use rusqlite::params;

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::Jar;
use crate::values::names::named::named_enum;

named_enum! {
    /// A kind of thing that several jars share.
    pub enum LinkKind as "a link between jars" {
        /// The lot their lids are of.
        LidLot = "lid-lot",
        /// The canner that processed them.
        Canner = "canner",
        /// The lot of something that went into them.
        IngredientLot = "ingredient-lot",
    }
}

/// Something a jar shares with others.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub(crate) struct Link {
    /// What it is.
    pub kind: LinkKind,
    pub name: String,
    /// How many jars share it, this one counted.
    pub jars: u32,
}

const LID_LOTS: &str = "SELECT x.name, count(*) FROM jar j
     JOIN lid_lot x ON x.id = j.lid_lot_id
     WHERE j.state <> 'void' AND j.lid_lot_id = (SELECT lid_lot_id FROM jar WHERE id = ?1)
     GROUP BY x.id";

const CANNERS: &str = "SELECT c.name, count(*) FROM jar j
     JOIN load o ON o.id = j.load_id
     JOIN canner c ON c.id = o.canner_id
     WHERE j.state <> 'void'
       AND c.id = (SELECT o.canner_id FROM jar j JOIN load o ON o.id = j.load_id WHERE j.id = ?1)
     GROUP BY c.id";

const INGREDIENT_LOTS: &str = "SELECT own.lot, count(DISTINCT j.id) FROM ingredient_lot own
     JOIN ingredient_lot other ON other.lot_key = own.lot_key
     JOIN jar j ON j.batch_id = other.batch_id
     WHERE j.state <> 'void' AND own.batch_id = (SELECT batch_id FROM jar WHERE id = ?1)
     GROUP BY own.lot_key ORDER BY own.lot_key";

impl Ledger {
    /// What a jar shares with others beyond its batch.
    pub(crate) fn links_of(&self, jar: &Jar) -> Result<Vec<Link>, LedgerError> {
        let mut links = Vec::new();
        for (kind, sql) in [
            (LinkKind::LidLot, LID_LOTS),
            (LinkKind::Canner, CANNERS),
            (LinkKind::IngredientLot, INGREDIENT_LOTS),
        ] {
            let mut statement = self.conn.prepare_cached(sql)?;
            let found = statement.query_and_then(params![jar.id], |row| {
                Ok(Link { kind, name: row.get(0)?, jars: row.get(1)? })
            })?;
            links.extend(found.collect::<Result<Vec<_>, LedgerError>>()?);
        }
        Ok(links)
    }
}
