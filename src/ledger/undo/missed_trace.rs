//! Traces that passed over jars an undo would bring home.
//!
//! A trace holds the jars that are in the household when it is made. A jar that
//! comes home afterwards, because its leaving is taken back or its putting-up is
//! brought back, would stand free beside its sisters on hold.

use super::{Found, in_a_row};
use crate::ledger::{Ledger, LedgerError, Write};

/// Entries after `?1` of which a trace hold is in force on a jar that shares batch, canner, lid lot or ingredient
/// lot with a jar that comes home: where `?2`, one whose leaving is taken back, else one whose putting-up is
/// brought back.
const PASSED_OVER: &str = "
    WITH home AS (
        SELECT j.batch_id, j.load_id, j.lid_lot_id FROM event v JOIN jar j ON j.id = v.jar_id
            WHERE ?2 AND v.entry_id = ?1 AND v.to_state IN ('reprocessed', 'finished', 'given', 'discarded')
        UNION SELECT j.batch_id, j.load_id, j.lid_lot_id FROM batch b JOIN jar j ON j.batch_id = b.id
            WHERE NOT ?2 AND b.entry_id = ?1),
    alike AS (
        SELECT id FROM jar WHERE batch_id IN (SELECT batch_id FROM home)
        UNION SELECT id FROM jar WHERE lid_lot_id IN (SELECT lid_lot_id FROM home)
        UNION SELECT id FROM jar WHERE load_id IN (
            SELECT id FROM load WHERE canner_id IN (
                SELECT canner_id FROM load WHERE id IN (SELECT load_id FROM home)))
        UNION SELECT id FROM jar WHERE batch_id IN (
            SELECT batch_id FROM ingredient_lot WHERE lot_key IN (
                SELECT lot_key FROM ingredient_lot WHERE batch_id IN (SELECT batch_id FROM home))))
    SELECT DISTINCT n.id, n.command, n.summary, n.effective
    FROM alike a JOIN hold h ON h.jar_id = a.id AND h.cause = 'trace'
    JOIN entry n ON n.id = h.entry_id AND n.effective = 1
    WHERE n.id > ?1 AND NOT EXISTS (
        SELECT 1 FROM hold_release r JOIN entry m ON m.id = r.entry_id AND m.effective = 1 WHERE r.hold_id = h.id)
    ORDER BY n.id DESC";

impl Ledger {
    /// The traces that stand and that the facts of `root` made pass over jars, newest first.
    fn traces_missed(&self, root: &Found) -> Result<Vec<Found>, LedgerError> {
        let mut statement = self.conn.prepare_cached(PASSED_OVER)?;
        let rows = statement.query_and_then((root.id, root.effective), Found::from_row)?;
        let mut traces: Vec<Found> = rows.collect::<Result<_, LedgerError>>()?;
        if !root.effective {
            let was_out = self.when_out(root)?;
            traces.retain(|trace| was_out(trace));
        }
        Ok(traces)
    }
}

impl Write<'_> {
    /// Refuses to undo `target`, whose facts are those of `root`, where that brings home jars a standing trace missed.
    pub(super) fn must_miss_no_trace(&self, root: &Found, target: i64) -> Result<(), LedgerError> {
        let traces = self.traces_missed(root)?;
        if traces.is_empty() {
            return Ok(());
        }
        let undone: Vec<String> =
            traces.iter().map(|trace| format!("`jarledger undo {}`", trace.id)).collect();
        Err(LedgerError::Refused {
            what: format!(
                "{} cannot be {}: its jars would come home without the hold of {}, which holds jars that share \
                 their batch, canner, lid lot or ingredient lot",
                root.told(),
                root.way(),
                in_a_row(&traces)
            ),
            hint: format!(
                "first {}, then `jarledger undo {target}`, then trace again",
                undone.join(", then ")
            ),
        })
    }
}
