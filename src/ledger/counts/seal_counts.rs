//! Failed seals by load, and by what the jars have in common.

use std::collections::BTreeMap;

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::rules::seal::chances::LoadSeals;
use crate::rules::seal::seal_statistics::{SealGrouping, SealStatistics, compare};

/// Jars whose lids were looked at, by load; a batch whose loads are not recorded counts as one. Failed where the check said so, or the seal was lost later.
const CHECKED: &str = "SELECT p.name AS product, t.name AS lid_lot, c.name AS canner,
        count(*) AS checked, sum(k.failed) AS failed
    FROM (SELECT v.jar_id, max(v.act <> 'check-sealed') AS failed
          FROM event v JOIN entry n ON n.id = v.entry_id AND n.effective = 1
          WHERE v.act IN ('check-sealed', 'check-failed', 'seal-lost')
          GROUP BY v.jar_id) k
    JOIN jar j ON j.id = k.jar_id AND j.state <> 'void'
    JOIN batch b ON b.id = j.batch_id
    JOIN product p ON p.id = b.product_id
    LEFT JOIN lid_lot t ON t.id = j.lid_lot_id
    LEFT JOIN load o ON o.id = j.load_id
    LEFT JOIN canner c ON c.id = o.canner_id
    GROUP BY p.id, t.id, c.id, coalesce(j.load_id, -j.batch_id)";

impl Ledger {
    /// Compares seal failures by lid lot, canner and product, in one pass. Jars whose lot or
    /// canner is not recorded are left out of that comparison.
    pub(crate) fn seal_statistics(&self) -> Result<Vec<SealStatistics>, LedgerError> {
        let mut groups: BTreeMap<SealGrouping, BTreeMap<String, Vec<LoadSeals>>> = BTreeMap::new();
        let mut statement = self.conn.prepare(CHECKED)?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let load = LoadSeals { failed: row.get("failed")?, checked: row.get("checked")? };
            for (grouping, column) in [
                (SealGrouping::LidLot, "lid_lot"),
                (SealGrouping::Canner, "canner"),
                (SealGrouping::Product, "product"),
            ] {
                let Some(name) = row.get::<_, Option<String>>(column)? else { continue };
                groups.entry(grouping).or_default().entry(name).or_default().push(load);
            }
        }
        Ok(groups.into_iter().map(|(grouping, groups)| compare(grouping, groups)).collect())
    }
}
