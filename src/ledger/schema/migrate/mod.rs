//! Schema steps, oldest first; shipped steps are frozen.
//!
//! May use: error.
//!
//! A minor step adds tables, columns or indexes an older release can leave alone; whatever
//! changes a table, a trigger or a view that is there is a major step. A step runs with foreign
//! keys off, so that it may rebuild a table, and the references are checked before the commit.

use rusqlite::{Connection, Transaction, TransactionBehavior};

use crate::ledger::error::LedgerError;
use crate::ledger::schema::version::{APPLICATION_ID, Version};

/// One step: the version it leads to, and its SQL.
#[derive(Debug, Clone, Copy)]
pub(in crate::ledger) struct Step {
    pub(in crate::ledger) to: Version,
    pub(in crate::ledger) sql: &'static str,
}

pub(in crate::ledger) const STEPS: &[Step] = &[
    Step { to: Version { major: 1, minor: 0 }, sql: include_str!("../../../../migrations/0001_ledger.sql") },
    Step {
        to: Version { major: 2, minor: 0 },
        sql: include_str!("../../../../migrations/0002_runs_recipes_and_uses.sql"),
    },
];

/// The steps that make a fresh ledger of a version.
pub(in crate::ledger) fn steps_up_to(version: Version) -> impl Iterator<Item = &'static str> {
    STEPS.iter().filter(move |step| step.to <= version).map(|step| step.sql)
}

/// Whether a file of this version has steps before it.
pub(in crate::ledger) fn is_behind(found: Version) -> bool {
    found < Version::CURRENT
}

/// Brings an empty file, or an older ledger, through the steps it lacks in one transaction.
pub(in crate::ledger) fn migrate(conn: &Connection, steps: &[Step]) -> Result<(), LedgerError> {
    conn.pragma_update(None, "foreign_keys", false)?;
    let outcome = in_one_transaction(conn, steps);
    conn.pragma_update(None, "foreign_keys", true)?;
    outcome
}

fn in_one_transaction(conn: &Connection, steps: &[Step]) -> Result<(), LedgerError> {
    let tx = Transaction::new_unchecked(conn, TransactionBehavior::Immediate)?;
    // Read inside: another program may have taken the steps while this one waited.
    let stamp: i32 = tx.pragma_query_value(None, "user_version", |row| row.get(0))?;
    let found = Version::from_stamp(stamp);
    let mut last = None;
    for step in steps.iter().filter(|step| found.is_none_or(|found| step.to > found)) {
        tx.execute_batch(step.sql)?;
        last = Some(step.to);
    }
    let Some(last) = last else { return Ok(()) };
    let dangling: i64 =
        tx.query_row("SELECT count(*) FROM pragma_foreign_key_check", [], |row| row.get(0))?;
    if dangling > 0 {
        return Err(LedgerError::Unreadable(format!("{dangling} references lead nowhere")));
    }
    tx.pragma_update(None, "application_id", APPLICATION_ID)?;
    tx.pragma_update(None, "user_version", last.stamp())?;
    tx.commit()?;
    Ok(())
}

#[cfg(test)]
mod tests;
