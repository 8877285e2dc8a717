//! How each product was last put up in each size of jar, as the pattern for doing it again.

use std::collections::HashMap;
use std::collections::hash_map::Entry;
use std::num::NonZeroU32;

use rusqlite::Row;

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::{parsed, parsed_opt};
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Method, Pack};
use crate::values::measures::altitude::Altitude;

/// The last load of a product in one size of jar. None: not recorded.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LastLoad {
    pub product: String,
    pub size: JarSize,
    /// The food of the process tables.
    pub food: Option<FoodId>,
    /// Hot or raw.
    pub pack: Option<Pack>,
    pub canner: Option<LastCanner>,
    /// Where it stood.
    pub altitude: Option<Altitude>,
}

/// The canner of a [`LastLoad`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct LastCanner {
    pub name: String,
    /// Its kind.
    pub method: Method,
    /// Jars of that size in one load, where the canner takes them.
    pub holds: Option<NonZeroU32>,
    /// Median minutes of coming up over all its loads that have them.
    pub come_up: Option<u32>,
}

impl Ledger {
    /// Reads the last load of every product in every size, by product and size.
    pub(crate) fn last_loads(&self) -> Result<Vec<LastLoad>, LedgerError> {
        // With max() alone in the row, the other columns are those of the row that has it (SQLite, bare columns).
        let mut statement = self.conn.prepare(
            "SELECT p.name AS product, j.size, b.food, b.pack, o.altitude, c.id AS canner_id, c.name AS canner,
                    c.method, h.jars AS holds, max(b.put_up || printf('-%012d', coalesce(o.id, 0)))
             FROM jar j
             JOIN batch b ON b.id = j.batch_id
             JOIN product p ON p.id = b.product_id
             LEFT JOIN load o ON o.id = j.load_id
             LEFT JOIN canner c ON c.id = o.canner_id
             LEFT JOIN canner_capacity h ON h.canner_id = c.id AND h.size = j.size
             WHERE j.state <> 'void'
             GROUP BY p.id, j.size
             ORDER BY p.name_key, j.size",
        )?;
        let mut middles = HashMap::new();
        let mut middle = |canner| match middles.entry(canner) {
            Entry::Occupied(known) => Ok(*known.get()),
            Entry::Vacant(new) => Ok(*new.insert(self.come_ups(canner)?.map(|times| times.middle))),
        };
        let rows = statement.query_and_then([], |row| from_row(row, &mut middle))?;
        rows.collect()
    }
}

fn from_row(
    row: &Row<'_>,
    come_up: &mut dyn FnMut(i64) -> Result<Option<u32>, LedgerError>,
) -> Result<LastLoad, LedgerError> {
    let canner = match row.get::<_, Option<i64>>("canner_id")? {
        None => None,
        Some(id) => Some(LastCanner {
            name: row.get("canner")?,
            method: parsed(row, "method")?,
            holds: row.get::<_, Option<u32>>("holds")?.and_then(NonZeroU32::new),
            come_up: come_up(id)?,
        }),
    };
    Ok(LastLoad {
        product: row.get("product")?,
        size: parsed(row, "size")?,
        food: parsed_opt(row, "food")?,
        pack: parsed_opt(row, "pack")?,
        canner,
        altitude: parsed_opt(row, "altitude")?,
    })
}
