//! Schema steps, oldest first; shipped steps are frozen.

use rusqlite::{Connection, Transaction, TransactionBehavior};

use super::LedgerError;
use super::schema::{APPLICATION_ID, Version};

/// One step: the version it leads to, and its SQL.
struct Step {
    to: Version,
    sql: &'static str,
}

const STEPS: &[Step] =
    &[Step { to: Version { major: 1, minor: 0 }, sql: include_str!("../../migrations/0001_ledger.sql") }];

/// Brings the file from `found` (none: an empty file) to the current version in one transaction.
pub(super) fn migrate(conn: &Connection, found: Option<Version>) -> Result<(), LedgerError> {
    let tx = Transaction::new_unchecked(conn, TransactionBehavior::Immediate)?;
    for step in STEPS.iter().filter(|step| found.is_none_or(|found| step.to > found)) {
        tx.execute_batch(step.sql)?;
    }
    tx.pragma_update(None, "application_id", APPLICATION_ID)?;
    tx.pragma_update(None, "user_version", Version::CURRENT.stamp())?;
    tx.commit()?;
    Ok(())
}
