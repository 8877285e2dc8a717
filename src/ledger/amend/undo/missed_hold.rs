//! Holds that passed over jars an undo would bring home.
//!
//! A trace holds the jars that are in the household when it is made. A jar that
//! comes home afterwards, because its leaving is taken back or its putting-up is
//! brought back, would stand free beside its sisters on hold. So it comes home
//! only while no such trace stands, and a trace that some came home past is made
//! anew, not brought back. A hold by hand is taken for a doubt about its whole batch, and counts likewise there.
//!
//! A hold that stands stays, even where the lid lot or the canner by which a trace found its jar is taken back: how a jar
//! was found is not kept, only why it is withheld, and that is the household's word until it releases the jar. To refuse
//! would send them to undo the trace, which lets every other jar go.

use crate::ledger::amend::undo::{Found, in_a_row};
use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::hold::{HoldCause, IN_FORCE};

/// The rows of jars that share batch, canner, lid lot or ingredient lot with those of `some`.
const ALIKE: &str = "alike AS (
        SELECT id FROM jar WHERE batch_id IN (SELECT batch_id FROM some)
        UNION SELECT id FROM jar WHERE lid_lot_id IN (SELECT lid_lot_id FROM some)
        UNION SELECT id FROM jar WHERE load_id IN (
            SELECT id FROM load WHERE canner_id IN (
                SELECT canner_id FROM load WHERE id IN (SELECT load_id FROM some)))
        UNION SELECT id FROM jar WHERE batch_id IN (
            SELECT batch_id FROM ingredient_lot WHERE lot_key IN (
                SELECT lot_key FROM ingredient_lot WHERE batch_id IN (SELECT batch_id FROM some))))";

/// The rows of jars of the same batches as those of `some`.
const OF_ONE_BATCH: &str = "alike AS (SELECT id FROM jar WHERE batch_id IN (SELECT batch_id FROM some))";

/// What holds pass over jars that have left, and which jars each is about.
const PASSES: [(HoldCause, &str); 2] = [(HoldCause::Trace, ALIKE), (HoldCause::ByHand, OF_ONE_BATCH)];

/// Jars that come home: where `?2`, those whose leaving is taken back, else those whose putting-up is brought back.
const HOME: &str = "
    SELECT j.batch_id, j.load_id, j.lid_lot_id FROM event v JOIN jar j ON j.id = v.jar_id
        WHERE ?2 AND v.entry_id = ?1 AND v.to_state IN ('reprocessed', 'finished', 'given', 'used', 'discarded')
    UNION SELECT j.batch_id, j.load_id, j.lid_lot_id FROM batch b JOIN jar j ON j.batch_id = b.id
        WHERE NOT ?2 AND b.entry_id = ?1";

/// Jars that an entry held for the cause ?2.
const TRACED: &str = "
    SELECT j.batch_id, j.load_id, j.lid_lot_id FROM hold h JOIN jar j ON j.id = h.jar_id
        WHERE h.entry_id = ?1 AND h.cause = ?2";

/// Earlier entries by which jars are at home now: taken back, they had left; in force, they were put up.
const AT_HOME: &str = "
    SELECT n.id, n.command, n.summary, n.effective
    FROM alike a JOIN event v ON v.jar_id = a.id JOIN entry n ON n.id = v.entry_id AND n.effective = 0
    WHERE n.id < ?1 AND v.to_state IN ('reprocessed', 'finished', 'given', 'used', 'discarded')
    UNION SELECT n.id, n.command, n.summary, n.effective
    FROM alike a JOIN jar j ON j.id = a.id JOIN batch b ON b.id = j.batch_id
    JOIN entry n ON n.id = b.entry_id AND n.effective = 1
    WHERE n.id < ?1";

impl Ledger {
    /// The entries whose holds stand and that the facts of `root` made pass over jars, newest first.
    fn holds_missed(&self, root: &Found) -> Result<Vec<Found>, LedgerError> {
        let mut missed: Vec<Found> = Vec::new();
        for (cause, alike) in PASSES {
            // Later entries of which a hold of the cause is in force.
            let mut statement = self.conn.prepare_cached(&format!(
                "WITH some AS ({HOME}), {alike}
                 SELECT DISTINCT n.id, n.command, n.summary, n.effective
                 FROM alike a JOIN ({IN_FORCE}) h ON h.jar_id = a.id AND h.cause = ?3 JOIN entry n ON n.id = h.entry_id
                 WHERE n.id > ?1 ORDER BY n.id DESC"
            ))?;
            let rows =
                statement.query_and_then((root.id, root.effective, cause.as_str()), Found::from_row)?;
            missed.extend(rows.collect::<Result<Vec<_>, LedgerError>>()?);
        }
        missed.sort_by_key(|hold| std::cmp::Reverse(hold.id));
        missed.dedup_by_key(|hold| hold.id);
        if !root.effective {
            let was_out = self.when_out(root)?;
            missed.retain(|hold| was_out(hold));
        }
        Ok(missed)
    }

    /// The entries whose holds would stand again: `root` itself brought back, or those whose jars it released.
    fn holds_again(&self, root: &Found) -> Result<Vec<i64>, LedgerError> {
        if !root.effective {
            return Ok(vec![root.id]);
        }
        let mut statement = self.conn.prepare_cached(
            "SELECT DISTINCT h.entry_id FROM hold_release r JOIN hold h ON h.id = r.hold_id AND h.cause <> 'verdict'
             JOIN entry n ON n.id = h.entry_id AND n.effective = 1 WHERE r.entry_id = ?1",
        )?;
        let holds = statement.query_map([root.id], |row| row.get(0))?;
        Ok(holds.collect::<Result<_, _>>()?)
    }

    /// The entries by which jars came home since the holds of `entry` that share something with those it held.
    fn came_home_since(&self, entry: i64) -> Result<Vec<Found>, LedgerError> {
        let mut home = Vec::new();
        for (cause, alike) in PASSES {
            let mut statement =
                self.conn.prepare_cached(&format!("WITH some AS ({TRACED}), {alike} {AT_HOME}"))?;
            let rows = statement.query_and_then((entry, cause.as_str()), Found::from_row)?;
            for found in rows {
                let found: Found = found?;
                // Turned an odd number of times since, it was the other way when the hold was made.
                if self.chain(found.id)?.into_iter().filter(|&toggle| toggle > entry).count() % 2 == 1 {
                    home.push(found);
                }
            }
        }
        Ok(home)
    }
}

impl Write<'_> {
    /// Refuses to undo `target`, whose facts are those of `root`, where that brings home jars a standing trace missed.
    pub(super) fn must_miss_no_hold(&self, root: &Found, target: i64) -> Result<(), LedgerError> {
        let holds = self.holds_missed(root)?;
        if holds.is_empty() {
            return Ok(());
        }
        let undone: Vec<String> = holds.iter().map(|hold| format!("`jarledger undo {}`", hold.id)).collect();
        Err(LedgerError::Refused {
            what: format!(
                "{} cannot be {}: its jars would come home without the hold of {}, which is on jars that share \
                 their batch, canner, lid lot or ingredient lot",
                root.in_words(),
                root.way(),
                in_a_row(&holds)
            ),
            hint: format!(
                "first {}, then `jarledger undo {target}`, then hold or trace again",
                undone.join(", then ")
            ),
        })
    }

    /// Refuses to undo what would make a trace stand again that jars came home past.
    pub(super) fn must_revive_no_hold_missed(&self, root: &Found) -> Result<(), LedgerError> {
        for hold in self.holds_again(root)? {
            let home = self.came_home_since(hold)?;
            if !home.is_empty() {
                return Err(LedgerError::Refused {
                    what: format!(
                        "{} cannot be {}: since the hold of entry {hold}, jars like those it held came home \
                         without its hold, by an undo of {}",
                        root.in_words(),
                        root.way(),
                        in_a_row(&home)
                    ),
                    hint: "hold the batch, or trace again with --hold: that finds every jar".to_owned(),
                });
            }
        }
        Ok(())
    }
}
