//! The entries: numbered without a gap, named by their number, and in force by turns.

use std::collections::{HashMap, HashSet};

use crate::ledger::check::report::{CheckReport, Kind};
use crate::ledger::check::scope::Scope;
use crate::ledger::entry::write::EntryId;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;

/// Entries that say something was done and have nothing to show for it; an undo needs nothing.
const WITHOUT_FACTS: &str = "
    SELECT id FROM entry WHERE reverses IS NULL AND id NOT IN (
        SELECT entry_id FROM event UNION SELECT entry_id FROM batch UNION SELECT entry_id FROM judgement
        UNION SELECT entry_id FROM hold UNION SELECT entry_id FROM hold_release UNION SELECT entry_id FROM correction
        UNION SELECT entry_id FROM setting UNION SELECT entry_id FROM canner UNION SELECT entry_id FROM gauge_test
        UNION SELECT entry_id FROM household_process UNION SELECT entry_id FROM recipe UNION SELECT entry_id FROM run
        UNION SELECT entry_id FROM run_step
        UNION SELECT entry_id FROM label_sheet)
    ORDER BY id";

pub(super) fn entries(ledger: &Ledger, _: &Scope, checked: &mut CheckReport) -> Result<(), LedgerError> {
    let mut statement = ledger
        .conn
        .prepare("SELECT id, uuid, reverses, effective, phone IS NULL AS own FROM entry ORDER BY id")?;
    let mut rows = statement.query([])?;
    let mut expected = 1;
    // Only those an undo touches are kept: few.
    let mut reversed_by = HashMap::new();
    let mut not_in_force = HashSet::new();
    while let Some(row) = rows.next()? {
        let id: i64 = row.get("id")?;
        checked.entries += 1;
        if id != expected {
            checked.find(Kind::Entry, format!("entry {expected} is missing: the one after it is {id}"));
        }
        expected = id.saturating_add(1);
        let uuid: String = row.get("uuid")?;
        // A phone names the entries it asks for.
        if row.get::<_, bool>("own")? && uuid != ledger.entry_name(EntryId(id)).to_string() {
            checked.find(Kind::Entry, format!("entry {id} has a name that is not its own"));
        }
        if let Some(target) = row.get::<_, Option<i64>>("reverses")? {
            reversed_by.insert(target, id);
        }
        if !row.get::<_, bool>("effective")? {
            not_in_force.insert(id);
        }
    }
    let mut statement = ledger.conn.prepare(WITHOUT_FACTS)?;
    let mut empty = statement.query([])?;
    while let Some(row) = empty.next()? {
        let id: i64 = row.get(0)?;
        checked.find(Kind::Entry, format!("entry {id} has lost what it wrote"));
    }
    // Newest first: an entry counts unless one that counts reverses it, and undos are always newer.
    let mut off = HashSet::new();
    let mut targets: Vec<(i64, i64)> = reversed_by.into_iter().collect();
    targets.sort_unstable_by(|a, b| b.cmp(a));
    for (target, undo) in targets {
        if !off.contains(&undo) {
            off.insert(target);
        }
    }
    for id in off.difference(&not_in_force) {
        checked.find(Kind::Undo, format!("entry {id} counts though it was undone"));
    }
    for id in not_in_force.difference(&off) {
        checked.find(Kind::Undo, format!("entry {id} does not count though nothing in force undid it"));
    }
    Ok(())
}
