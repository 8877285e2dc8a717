//! Names that are found by their key, days that are in the calendar, and nothing without its parts.

use crate::ledger::check::report::{CheckReport, Kind};
use crate::ledger::check::scope::Scope;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::values::names::name::Name;
use crate::values::time::iso_day::IsoDay;

const NAMES: &str = "
    SELECT 'product' AS kind, name, name_key FROM product
    UNION ALL SELECT 'place', name, name_key FROM place
    UNION ALL SELECT 'lid lot', name, name_key FROM lid_lot
    UNION ALL SELECT 'canner', name, name_key FROM canner
    UNION ALL SELECT 'ingredient lot', lot, lot_key FROM ingredient_lot
    UNION ALL SELECT 'label sheet', name, name_key FROM label_sheet
    UNION ALL SELECT 'recipe', name, name_key FROM recipe";

const DAYS: &str = "
    SELECT 'entry' AS kind, id, on_date AS day FROM entry WHERE date(on_date) IS NOT on_date
    UNION ALL SELECT 'event', id, on_date FROM event WHERE date(on_date) IS NOT on_date
    UNION ALL SELECT 'batch', id, put_up FROM batch WHERE date(put_up) IS NOT put_up
    UNION ALL SELECT 'jar', id, best_by FROM jar WHERE date(best_by) IS NOT best_by
    UNION ALL SELECT 'gauge test', id, on_date FROM gauge_test WHERE date(on_date) IS NOT on_date";

const LACKING: &str = "
    SELECT 'canner' AS kind, c.id, 'capacity' AS lacks FROM canner c
        WHERE NOT EXISTS (SELECT 1 FROM canner_capacity h WHERE h.canner_id = c.id)
    UNION ALL SELECT 'gauge test', t.id, 'readings' FROM gauge_test t
        WHERE NOT EXISTS (SELECT 1 FROM gauge_point p WHERE p.gauge_test_id = t.id)
    UNION ALL SELECT 'batch', b.id, 'jars' FROM batch b
        WHERE NOT EXISTS (SELECT 1 FROM jar j WHERE j.batch_id = b.id)";

pub(super) fn names(ledger: &Ledger, _: &Scope, checked: &mut CheckReport) -> Result<(), LedgerError> {
    let mut statement = ledger.conn.prepare(NAMES)?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let (kind, name, key): (String, String, String) = (row.get(0)?, row.get(1)?, row.get(2)?);
        let read = name.parse::<Name>();
        if !read.is_ok_and(|read| read.as_str() == name && read.key() == key) {
            checked.find(Kind::Name, format!("the {kind} {name:?} is not found by its name"));
        }
    }
    let mut statement = ledger.conn.prepare(DAYS)?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let (kind, id, day): (String, i64, String) = (row.get(0)?, row.get(1)?, row.get(2)?);
        // SQLite rolls 30 February over into March; the calendar has the last word.
        if day.parse::<IsoDay>().is_err() {
            checked.find(Kind::Value, format!("{kind} {id}: {day:?} is not a day"));
        }
    }
    let mut statement = ledger.conn.prepare(LACKING)?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let (kind, id, lacks): (String, i64, String) = (row.get(0)?, row.get(1)?, row.get(2)?);
        checked.find(Kind::Lacking, format!("{kind} {id} has no {lacks}"));
    }
    Ok(())
}
