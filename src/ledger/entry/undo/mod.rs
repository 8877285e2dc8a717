//! Taking an entry back, and bringing it back again.
//!
//! Nothing is deleted: an undo is an entry of its own that `reverses` another,
//! and an entry counts while nothing in force reverses it. Undoing an undo adds
//! one more to that chain, so the entries of a chain are in force by turns:
//!
//! ```text
//! putup 7   ← undo 9    ← undo 12        12 in force: 9 is not, 7 is
//! ```

use rusqlite::{OptionalExtension, Row, params};

use crate::ledger::entry::write::{EntryId, Write};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;

mod missed_trace;

/// Most entries named in a refusal.
const NAMED: usize = 3;

/// What an undo did.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Undone {
    /// The entry asked for.
    pub undone: EntryId,
    /// The entry whose facts were taken back or brought back: the first of the chain.
    pub facts_of: EntryId,
    /// Its command.
    pub command: String,
    /// Its line in `history`.
    pub summary: String,
    /// Whether its facts count now.
    pub in_force: bool,
}

/// An entry as the checks see it.
struct Found {
    id: i64,
    command: String,
    summary: String,
    effective: bool,
}

impl Found {
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        Ok(Self { id: row.get(0)?, command: row.get(1)?, summary: row.get(2)?, effective: row.get(3)? })
    }

    /// What an undo makes of its facts.
    const fn way(&self) -> &'static str {
        if self.effective { "taken back" } else { "brought back" }
    }

    fn told(&self) -> String {
        format!("entry {} ({}: {})", self.id, self.command, self.summary)
    }
}

/// Which entry's facts another entry's facts were built on: `writer` came first, `user` relied on it.
///
/// An entry is neither taken back nor brought back while a later one in force is its user, so
/// what is in force is always a history that could have happened in that order. A jar that had
/// left the household was passed over by a later verdict or hold, so that one counts as a user
/// of its leaving: else the jar would come back without the hold its sisters are under. A verdict
/// passes over a jar rescued in time as well.
const BUILT_ON: &str = "
    SELECT w.entry_id AS writer, u.entry_id AS user
        FROM batch w JOIN jar j ON j.batch_id = w.id JOIN event u ON u.jar_id = j.id
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM event w JOIN event u ON u.jar_id = w.jar_id WHERE w.from_state <> w.to_state
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM batch w JOIN jar j ON j.batch_id = w.id JOIN hold u ON u.jar_id = j.id
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM batch w JOIN load l ON l.batch_id = w.id JOIN judgement u ON u.load_id = l.id
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM batch w JOIN correction u ON u.subject = 'batch' AND u.subject_id = w.id
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM batch w JOIN load l ON l.batch_id = w.id JOIN correction u ON u.subject = 'load' AND u.subject_id = l.id
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM batch w JOIN jar j ON j.batch_id = w.id JOIN correction u ON u.subject = 'jar' AND u.subject_id = j.id
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM event w JOIN jar j ON j.id = w.jar_id JOIN judgement u ON u.load_id = j.load_id
        WHERE w.to_state IN ('reprocessed', 'finished', 'given', 'used', 'discarded', 'chilled', 'frozen')
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM event w JOIN jar j ON j.id = w.jar_id JOIN jar o ON o.batch_id = j.batch_id
        JOIN hold u ON u.jar_id = o.id
        WHERE w.to_state IN ('reprocessed', 'finished', 'given', 'used', 'discarded')
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM hold w JOIN hold_release u ON u.hold_id = w.id
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM hold w JOIN event u ON u.jar_id = w.jar_id
        WHERE u.act IN ('open', 'give', 'finish', 'chill', 'freeze', 'reprocess')
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM hold_release w JOIN hold h ON h.id = w.hold_id JOIN event u ON u.jar_id = h.jar_id
        WHERE u.act IN ('open', 'give', 'finish', 'chill', 'freeze', 'reprocess')
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM hold w JOIN jar j ON j.id = w.jar_id JOIN judgement u ON u.load_id = j.load_id
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM hold_release w JOIN hold h ON h.id = w.hold_id JOIN jar j ON j.id = h.jar_id
        JOIN judgement u ON u.load_id = j.load_id
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM judgement w JOIN judgement u ON u.load_id = w.load_id
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM judgement w JOIN jar j ON j.load_id = w.load_id JOIN hold h ON h.jar_id = j.id
        JOIN hold_release u ON u.hold_id = h.id
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM correction w JOIN correction u
        ON u.subject = w.subject AND u.subject_id = w.subject_id AND u.field = w.field
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM correction w JOIN judgement u ON u.load_id = w.subject_id WHERE w.subject = 'load'
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM correction w JOIN load l ON l.batch_id = w.subject_id JOIN judgement u ON u.load_id = l.id
        WHERE w.subject = 'batch'
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM canner w JOIN load l ON l.canner_id = w.id JOIN batch u ON u.id = l.batch_id
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM canner w JOIN correction u ON u.field = 'canner' AND w.name IN (u.new_value, u.old_value)
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM canner w JOIN gauge_test u ON u.canner_id = w.id
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM canner w JOIN canner u ON u.name_key = w.name_key
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM gauge_test w JOIN gauge_test u ON u.canner_id = w.canner_id
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM gauge_test w JOIN load l ON l.canner_id = w.canner_id JOIN judgement u ON u.load_id = l.id
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM household_process w JOIN batch b ON b.food = w.food JOIN load l ON l.batch_id = b.id
        JOIN judgement u ON u.load_id = l.id";

/// What was judged or imported while a batch was not in force did not see it: matters only to what is
/// brought back, which would else miss a verdict, or stand on the shelf twice.
const PASSED_OVER: &str = "
    SELECT w.entry_id AS writer, u.entry_id AS user
        FROM batch w JOIN load l ON l.batch_id = w.id JOIN gauge_test u ON u.canner_id = l.canner_id
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM batch w JOIN household_process u ON u.food = w.food
    UNION ALL SELECT w.entry_id, u.entry_id
        FROM batch w JOIN batch u ON u.product_id = w.product_id AND u.put_up = w.put_up
        WHERE w.origin = 'import' AND u.origin = 'import'";

impl Ledger {
    fn found(&self, id: i64) -> Result<Option<Found>, LedgerError> {
        Ok(self
            .conn
            .prepare_cached("SELECT command, summary, effective FROM entry WHERE id = ?1")?
            .query_row([id], |row| {
                Ok(Found { id, command: row.get(0)?, summary: row.get(1)?, effective: row.get(2)? })
            })
            .optional()?)
    }

    /// The chain an entry stands in: what it reverses down to the facts, then what reverses it up to the last.
    fn chain(&self, id: i64) -> Result<Vec<i64>, LedgerError> {
        let mut down = self.conn.prepare_cached("SELECT reverses FROM entry WHERE id = ?1")?;
        let mut up = self.conn.prepare_cached("SELECT id FROM entry WHERE reverses = ?1")?;
        let mut first = id;
        while let Some(earlier) = down.query_row([first], |row| row.get::<_, Option<i64>>(0))? {
            first = earlier;
        }
        let mut chain = vec![first];
        while let Some(later) = up.query_row([chain[chain.len() - 1]], |row| row.get(0)).optional()? {
            chain.push(later);
        }
        Ok(chain)
    }

    /// Later entries in force that rely on the facts of `root`, or that were made while it was not in
    /// force and should have seen them; newest first.
    fn users_in_force(&self, root: &Found) -> Result<Vec<Found>, LedgerError> {
        let mut users = self.users_by(BUILT_ON, root.id)?;
        if !root.effective {
            users.extend(self.users_by(PASSED_OVER, root.id)?.into_iter().filter(self.when_out(root)?));
            users.sort_by_key(|user| std::cmp::Reverse(user.id));
            users.dedup_by_key(|user| user.id);
        }
        Ok(users)
    }

    fn users_by(&self, relation: &str, id: i64) -> Result<Vec<Found>, LedgerError> {
        let mut statement = self.conn.prepare_cached(&format!(
            "SELECT DISTINCT n.id, n.command, n.summary, n.effective
             FROM ({relation}) r JOIN entry n ON n.id = r.user AND n.effective = 1
             WHERE r.writer = ?1 AND r.user > ?1 ORDER BY n.id DESC"
        ))?;
        let rows = statement.query_and_then([id], Found::from_row)?;
        rows.collect()
    }

    /// Tells of a later entry whether it was made while the facts of `root` were not in force.
    fn when_out(&self, root: &Found) -> Result<impl Fn(&Found) -> bool + use<>, LedgerError> {
        let chain = self.chain(root.id)?;
        Ok(move |later: &Found| chain[1..].iter().filter(|&&toggle| toggle < later.id).count() % 2 == 1)
    }

    /// Earlier entries that `id` relied on and that were taken or brought back since.
    fn changed_foundations(&self, id: i64) -> Result<Vec<Found>, LedgerError> {
        let mut statement = self.conn.prepare_cached(&format!(
            "SELECT DISTINCT r.writer FROM ({BUILT_ON} UNION ALL {PASSED_OVER}) r WHERE r.user = ?1 AND r.writer < ?1 ORDER BY r.writer"
        ))?;
        let writers: Vec<i64> = statement.query_map([id], |row| row.get(0))?.collect::<Result<_, _>>()?;
        let mut changed = Vec::new();
        for writer in writers {
            let toggles = self.chain(writer)?.into_iter().filter(|&toggle| toggle > id).count();
            if toggles % 2 == 1 {
                changed.extend(self.found(writer)?);
            }
        }
        Ok(changed)
    }

    /// The newest entry in force that is not an undo.
    fn newest_in_force(&self) -> Result<i64, LedgerError> {
        self.conn
            .query_row(
                "SELECT id FROM entry WHERE effective = 1 AND reverses IS NULL AND summary <> ''
                 ORDER BY id DESC LIMIT 1",
                [],
                |row| row.get(0),
            )
            .optional()?
            .ok_or_else(|| LedgerError::NotFound("there is nothing to undo in this ledger".to_owned()))
    }
}

impl Write<'_> {
    /// Takes back an entry, or with an undo given, what that undo took back; none: the newest in force.
    ///
    /// # Errors
    /// [`LedgerError::Refused`] where it is undone already, or a later entry in force relies on it;
    /// [`LedgerError::NotFound`] where there is no such entry.
    pub fn undo(&self, target: Option<EntryId>) -> Result<Undone, LedgerError> {
        let target = target.map_or_else(|| self.newest_in_force(), |entry| Ok(entry.0))?;
        let found = self
            .found(target)?
            .filter(|found| found.id != self.entry.0)
            .ok_or_else(|| LedgerError::NotFound(format!("there is no entry {target} in this ledger")))?;
        let chain = self.chain(target)?;
        let (facts, last) = (chain[0], chain[chain.len() - 1]);
        if !found.effective {
            return Err(LedgerError::Refused {
                what: format!("{} is undone already", found.told()),
                hint: format!("`jarledger undo {last}` brings it back"),
            });
        }
        let root = self.found(facts)?.ok_or_else(|| LedgerError::Unreadable(format!("entry {facts}")))?;
        self.must_miss_no_trace(&root, target)?;
        self.must_revive_no_trace_missed(&root)?;
        self.must_be_free(&root)?;

        self.conn.execute("UPDATE entry SET reverses = ?2 WHERE id = ?1", params![self.entry.0, last])?;
        // The one with the facts last: the others have none, and the triggers look at it alone.
        for entry in chain.iter().rev() {
            self.conn.execute("UPDATE entry SET effective = 1 - effective WHERE id = ?1", [entry])?;
        }
        self.reapply_corrections(EntryId(facts))?;
        self.must_have_altitude(facts)?;
        Ok(Undone {
            undone: EntryId(target),
            facts_of: EntryId(facts),
            command: root.command,
            summary: root.summary,
            in_force: !root.effective,
        })
    }

    /// Refuses where a later entry in force was built on this one, or what this one was built on has changed.
    fn must_be_free(&self, root: &Found) -> Result<(), LedgerError> {
        let users = self.users_in_force(root)?;
        if !users.is_empty() {
            let steps: Vec<String> =
                users.iter().take(NAMED).map(|user| format!("`jarledger undo {}`", user.id)).collect();
            return Err(LedgerError::Refused {
                what: format!(
                    "{} cannot be {} while later entries build on it: {}",
                    root.told(),
                    root.way(),
                    in_a_row(&users)
                ),
                hint: format!(
                    "first {}{}",
                    steps.join(", then "),
                    if users.len() > NAMED { ", and so on" } else { "" }
                ),
            });
        }
        if root.effective {
            return Ok(());
        }
        let changed = self.changed_foundations(root.id)?;
        if changed.is_empty() {
            return Ok(());
        }
        Err(LedgerError::Refused {
            what: format!(
                "{} cannot be brought back: what it was built on is no longer so, {}",
                root.told(),
                in_a_row(&changed)
            ),
            hint: "see `jarledger history`, and undo in the opposite order".to_owned(),
        })
    }

    /// A kitchen must stand somewhere: the only altitude is changed, not taken back.
    fn must_have_altitude(&self, facts: i64) -> Result<(), LedgerError> {
        let sets_altitude: bool = self.conn.query_row(
            "SELECT EXISTS (SELECT 1 FROM setting WHERE entry_id = ?1 AND key = 'altitude')",
            [facts],
            |row| row.get(0),
        )?;
        if sets_altitude && self.household().is_err() {
            return Err(LedgerError::Refused {
                what: "without that entry the ledger would know no altitude".to_owned(),
                hint: "`jarledger setup --altitude HEIGHT` changes it".to_owned(),
            });
        }
        Ok(())
    }
}

/// Names the first entries and counts the rest.
fn in_a_row(entries: &[Found]) -> String {
    let mut told: Vec<String> = entries.iter().take(NAMED).map(Found::told).collect();
    if entries.len() > NAMED {
        told.push(format!("{} more", entries.len() - NAMED));
    }
    told.join(", ")
}
