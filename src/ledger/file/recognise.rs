//! Whether a file's schema is one that a release wrote.
//!
//! The text of every table, index and trigger is compared with the known one before any
//! other statement runs, so nothing a stranger put into the schema is ever run.
//! A file of a later minor version may have more tables, and more columns at the end of ours;
//! its triggers on our tables, and everything else of ours, must be what we know.

use std::collections::BTreeMap;
use std::path::Path;

use rusqlite::Connection;

use crate::ledger::error::LedgerError;
use crate::ledger::schema::migrate::steps_up_to;
use crate::ledger::schema::version::{APPLICATION_ID, Version};

/// The schema of [`Version::CURRENT`] as `AS_STORED` reads it; a test holds it to the steps.
const CURRENT_SCHEMA: &str = include_str!("../../../migrations/current_schema.txt");

/// Every thing of the schema in the order of the file: kind, name, table and text.
const AS_STORED: &str =
    "SELECT type || ' ' || name || ' ' || tbl_name || char(10) || coalesce(sql, '') || char(10)
                         FROM sqlite_schema ORDER BY rowid";

/// A thing of the schema: its kind and name.
type Thing = (String, String);

/// The table it belongs to and its text; SQLite's own indexes have none.
type Text = (String, Option<String>);

/// Tables in which SQLite keeps its own statistics; any tool may add them, and they hold no rows of ours.
const STATISTICS: [&str; 2] = ["sqlite_stat1", "sqlite_stat4"];

/// Reads whose file this is and which version, and compares its schema with the known one.
pub(in crate::ledger) fn recognise(conn: &Connection, path: &Path) -> Result<Version, LedgerError> {
    // One transaction: nobody migrates the file between the two looks.
    let tx = conn.unchecked_transaction()?;
    let application_id: i32 = conn.pragma_query_value(None, "application_id", |row| row.get(0))?;
    if application_id != APPLICATION_ID {
        return Err(LedgerError::NotOurs {
            path: path.to_owned(),
            what: "it is an SQLite file of another program".to_owned(),
        });
    }
    let found = version_of(conn, path)?;
    if found.major > Version::CURRENT.major {
        return Err(LedgerError::TooNew {
            path: path.to_owned(),
            found: found.to_string(),
            known: Version::CURRENT.to_string(),
        });
    }
    if found != Version::CURRENT || !is_as_written(conn)? {
        let known = known_schema(found.min(Version::CURRENT))?;
        let there = read_schema(conn)?;
        let compared = if found > Version::CURRENT {
            newer_minor(conn, &known, &there)
        } else {
            exactly(&known, &there)
        };
        compared.map_err(|what| LedgerError::Damaged { path: path.to_owned(), what })?;
    }
    tx.commit()?;
    Ok(found)
}

/// Whether the schema is, in its own order, word for word what this build's steps leave behind, and nothing else.
///
/// Nearly every ledger passes this look, in a tenth of the time that making a fresh one takes. One that does not is
/// compared thing by thing.
fn is_as_written(conn: &Connection) -> Result<bool, LedgerError> {
    let mut statement = conn.prepare(AS_STORED)?;
    let mut rows = statement.query([])?;
    let mut left = CURRENT_SCHEMA;
    while let Some(row) = rows.next()? {
        let Some(after) = row.get_ref(0)?.as_str().ok().and_then(|thing| left.strip_prefix(thing)) else {
            return Ok(false);
        };
        left = after;
    }
    Ok(left.is_empty())
}

/// The version the file says it has.
pub(in crate::ledger) fn version_of(conn: &Connection, path: &Path) -> Result<Version, LedgerError> {
    let stamp: i32 = conn.pragma_query_value(None, "user_version", |row| row.get(0))?;
    Version::from_stamp(stamp).ok_or_else(|| LedgerError::Damaged {
        path: path.to_owned(),
        what: "its schema version is not one of ours".to_owned(),
    })
}

/// What a fresh ledger of a version holds, by running its steps in memory.
pub(in crate::ledger) fn known_schema(version: Version) -> Result<BTreeMap<Thing, Text>, LedgerError> {
    let fresh = Connection::open_in_memory()?;
    // As in a migration: a table built anew is dropped while others refer to it.
    fresh.pragma_update(None, "foreign_keys", false)?;
    for step in steps_up_to(version) {
        fresh.execute_batch(step)?;
    }
    read_schema(&fresh)
}

/// Every table, index, trigger and view of a file.
pub(in crate::ledger) fn read_schema(conn: &Connection) -> Result<BTreeMap<Thing, Text>, LedgerError> {
    let mut statement = conn.prepare("SELECT type, name, tbl_name, sql FROM sqlite_schema")?;
    let rows = statement.query_map([], |row| {
        Ok(((row.get::<_, String>(0)?, row.get::<_, String>(1)?), (row.get(2)?, row.get(3)?)))
    })?;
    let mut things = BTreeMap::new();
    for row in rows {
        let (thing, text) = row?;
        if !STATISTICS.contains(&thing.1.as_str()) {
            things.insert(thing, text);
        }
    }
    Ok(things)
}

fn exactly(known: &BTreeMap<Thing, Text>, there: &BTreeMap<Thing, Text>) -> Result<(), String> {
    for (thing, text) in known {
        if there.get(thing) != Some(text) {
            return Err(not_as_known(thing, there));
        }
    }
    match there.keys().find(|thing| !known.contains_key(thing)) {
        Some((kind, name)) => Err(format!("it has a {kind} {name:?} that no release made")),
        None => Ok(()),
    }
}

fn newer_minor(
    conn: &Connection,
    known: &BTreeMap<Thing, Text>,
    there: &BTreeMap<Thing, Text>,
) -> Result<(), String> {
    let ours = |table: &str| known.contains_key(&("table".to_owned(), table.to_owned()));
    for (thing, (table, sql)) in known {
        let fits = there.get(thing).is_some_and(|(found_table, found)| {
            table == found_table
                && match (sql, found) {
                    (Some(sql), Some(found)) if thing.0 == "table" => {
                        found == sql || grew_columns(conn, &thing.1, sql, found)
                    }
                    _ => sql == found,
                }
        });
        if !fits {
            return Err(not_as_known(thing, there));
        }
    }
    for (thing, (table, _)) in there {
        let harmless = match thing.0.as_str() {
            "table" | "index" => true,
            "trigger" => !ours(table),
            _ => false,
        };
        if !known.contains_key(thing) && !harmless {
            return Err(format!("it has a {} {:?} that no minor release makes", thing.0, thing.1));
        }
    }
    Ok(())
}

/// Whether a table's text is ours with plain columns put in at one point.
fn grew_columns(conn: &Connection, table: &str, ours: &str, found: &str) -> bool {
    let head = ours.bytes().zip(found.bytes()).take_while(|(a, b)| a == b).count();
    let tail = ours.bytes().rev().zip(found.bytes().rev()).take_while(|(a, b)| a == b).count();
    let plain: Result<bool, rusqlite::Error> =
        conn.query_row("SELECT count(*) = 0 FROM pragma_table_xinfo(?1) WHERE hidden <> 0", [table], |row| {
            row.get(0)
        });
    found.len() > ours.len() && head + tail >= ours.len() && plain.unwrap_or(false)
}

fn not_as_known((kind, name): &Thing, there: &BTreeMap<Thing, Text>) -> String {
    let key = (kind.clone(), name.clone());
    if there.contains_key(&key) {
        format!("its {kind} {name:?} is not as any release made it")
    } else {
        format!("its {kind} {name:?} is missing")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fresh() -> Connection {
        let conn = Connection::open_in_memory().unwrap();
        conn.pragma_update(None, "foreign_keys", false).unwrap();
        for step in steps_up_to(Version::CURRENT) {
            conn.execute_batch(step).unwrap();
        }
        conn
    }

    fn known_at_once(conn: &Connection) -> bool {
        is_as_written(conn).unwrap()
    }

    #[test]
    fn a_ledger_as_the_steps_write_it_is_known_by_its_text_alone() {
        let conn = fresh();
        let mut statement = conn.prepare(AS_STORED).unwrap();
        let things = statement.query_map([], |row| row.get::<_, String>(0)).unwrap();
        let written: String = things.map(Result::unwrap).collect();
        assert!(
            written == CURRENT_SCHEMA,
            "what the steps leave is not migrations/current_schema.txt:\n{written}"
        );
        assert!(known_at_once(&fresh()));
        assert!(!known_at_once(&Connection::open_in_memory().unwrap()));
    }

    #[test]
    fn nothing_may_be_added_taken_away_or_reworded() {
        for change in [
            "CREATE TABLE more (id INTEGER PRIMARY KEY)",
            "CREATE INDEX more ON jar (note)",
            "CREATE TRIGGER more AFTER INSERT ON jar BEGIN SELECT 1; END",
            "CREATE VIEW more AS SELECT 1",
            "DROP TRIGGER jar_kept",
            "DROP INDEX jar_by_load",
            "DROP TRIGGER jar_kept; CREATE TRIGGER jar_kept BEFORE DELETE ON jar BEGIN SELECT 1; END",
            "DROP TRIGGER event_stays; CREATE TRIGGER event_stays BEFORE UPDATE ON hold BEGIN SELECT RAISE(ABORT, 'an event is never rewritten'); END",
            "ALTER TABLE place ADD COLUMN note TEXT",
            "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET sql = replace(sql, 'ABORT', 'IGNORE') WHERE name = 'jar_kept'",
            "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET name = 'other' WHERE name = 'jar_kept'",
            "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET tbl_name = 'hold' WHERE name = 'jar_by_load'",
            "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET sql = NULL WHERE name = 'jar_kept'",
        ] {
            let conn = fresh();
            conn.execute_batch(change).unwrap();
            assert!(!known_at_once(&conn), "{change}");
        }
    }
}
