//! Connections that trust nothing in the file, wait their turn, and can be stopped.

use std::path::Path;
use std::sync::OnceLock;
use std::time::{Duration, Instant};

use rusqlite::config::DbConfig;
use rusqlite::limits::Limit;
use rusqlite::{Connection, MAIN_DB, OpenFlags};

use crate::ledger::error::LedgerError;
use crate::ledger::error::interrupt;
use crate::ledger::file::header::nothing_odd_beside;

/// How long a program waits for another before it gives up.
const BUSY_WAIT: Duration = Duration::from_secs(5);

/// How long it waits before it says so.
const BUSY_NOTICE: Duration = Duration::from_secs(1);

/// Steps of SQLite's machine between two looks at the clock of work.
const STEPS_PER_LOOK: u32 = 1_000;

/// Steps allowed for learning what the file is.
const STEPS_TO_OPEN: u64 = 10_000_000;

/// Most memory SQLite may take, in bytes.
const MOST_MEMORY: u32 = 256 << 20;

static WAITING: OnceLock<fn()> = OnceLock::new();

/// What a connection may do to the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::ledger) enum Access {
    Read,
    Write,
    /// Reading, without ever waiting for another program.
    Glance,
}

/// Sets what is called, once, when another program keeps this one waiting for over a second.
pub(crate) fn on_waiting(notice: fn()) {
    // A second caller would only set the same thing again.
    let _ = WAITING.set(notice);
}

/// Leaves off waiting for the disk: for a file still being made, which any trouble throws away.
pub(in crate::ledger) fn make_hasty(conn: &Connection) -> Result<(), LedgerError> {
    Ok(conn.execute_batch("PRAGMA synchronous = OFF; PRAGMA journal_mode = MEMORY;")?)
}

/// Connects to a file that exists; `path` is resolved and absolute, so that no name is read as a
/// URI or as a database in memory.
pub(in crate::ledger) fn connect(path: &Path, access: Access) -> Result<Connection, LedgerError> {
    let flags = match access {
        Access::Read | Access::Glance => OpenFlags::SQLITE_OPEN_READ_ONLY,
        Access::Write => OpenFlags::SQLITE_OPEN_READ_WRITE,
    };
    nothing_odd_beside(path)?;
    let mut conn = Connection::open_with_flags(path, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX)?;
    if access == Access::Write && conn.is_readonly(MAIN_DB)? {
        return Err(LedgerError::ReadOnly(path.to_owned()));
    }
    guard(&mut conn)?;
    match access {
        Access::Read | Access::Write => wait_one_s_turn(&mut conn)?,
        Access::Glance => conn.busy_timeout(Duration::ZERO)?,
    }
    conn.execute_batch(&format!(
        "PRAGMA foreign_keys = ON; PRAGMA synchronous = EXTRA; PRAGMA cell_size_check = ON;
         PRAGMA hard_heap_limit = {MOST_MEMORY};"
    ))?;
    Ok(conn)
}

/// Sets everything that has to stand before the first look into the file.
fn guard(conn: &mut Connection) -> Result<(), LedgerError> {
    for (switch, on) in [
        (DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true),
        (DbConfig::SQLITE_DBCONFIG_TRUSTED_SCHEMA, false),
        (DbConfig::SQLITE_DBCONFIG_ENABLE_VIEW, false),
        (DbConfig::SQLITE_DBCONFIG_DQS_DDL, false),
        (DbConfig::SQLITE_DBCONFIG_DQS_DML, false),
        (DbConfig::SQLITE_DBCONFIG_ENABLE_ATTACH_CREATE, false),
        (DbConfig::SQLITE_DBCONFIG_ENABLE_ATTACH_WRITE, false),
        // Plans must not depend on bound values. Otherwise many a statement is compiled again once its values are bound, in
        // case they would make a better plan, and compiling is most of what a short command waits for.
        (DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true),
    ] {
        conn.set_db_config(switch, on)?;
    }
    for (limit, most) in [
        (Limit::SQLITE_LIMIT_LENGTH, 4 << 20),
        (Limit::SQLITE_LIMIT_SQL_LENGTH, 1 << 20),
        (Limit::SQLITE_LIMIT_COLUMN, 100),
        (Limit::SQLITE_LIMIT_EXPR_DEPTH, 200),
        (Limit::SQLITE_LIMIT_COMPOUND_SELECT, 50),
        (Limit::SQLITE_LIMIT_FUNCTION_ARG, 100),
        (Limit::SQLITE_LIMIT_ATTACHED, 0),
        (Limit::SQLITE_LIMIT_LIKE_PATTERN_LENGTH, 1_000),
        (Limit::SQLITE_LIMIT_TRIGGER_DEPTH, 10),
        (Limit::SQLITE_LIMIT_WORKER_THREADS, 0),
        (Limit::SQLITE_LIMIT_SCHEMA, 500),
        (Limit::SQLITE_LIMIT_TRIGGER_STEPS, 50),
    ] {
        conn.set_limit(limit, most)?;
    }
    allow(conn, STEPS_TO_OPEN)
}

/// Waits for another program that holds the file, and says so after a while.
fn wait_one_s_turn(conn: &mut Connection) -> Result<(), LedgerError> {
    let mut since = Instant::now();
    let mut noticed = false;
    conn.busy_handler(Some(move |tries: i32| {
        if tries == 0 {
            since = Instant::now();
        }
        let waited = since.elapsed();
        if waited >= BUSY_WAIT || interrupt::asked() {
            return false;
        }
        if waited >= BUSY_NOTICE && !noticed {
            noticed = true;
            if let Some(notice) = WAITING.get() {
                notice();
            }
        }
        std::thread::sleep(Duration::from_millis(1 + u64::from(tries.clamp(0, 24).unsigned_abs())));
        true
    }))?;
    Ok(())
}

/// Lets the connection take `steps` more steps of SQLite's machine; a file made to keep the
/// program busy for ever then ends in an error. An interrupt ends it at once.
pub(in crate::ledger) fn allow(conn: &mut Connection, steps: u64) -> Result<(), LedgerError> {
    let mut left = steps;
    conn.progress_handler(
        STEPS_PER_LOOK as i32,
        Some(move || {
            left = left.saturating_sub(u64::from(STEPS_PER_LOOK));
            left == 0 || interrupt::asked()
        }),
    )?;
    Ok(())
}

/// Lets the connection work until it is interrupted.
pub(in crate::ledger) fn allow_all(conn: &mut Connection) -> Result<(), LedgerError> {
    conn.progress_handler(STEPS_PER_LOOK as i32, Some(interrupt::asked))?;
    Ok(())
}
