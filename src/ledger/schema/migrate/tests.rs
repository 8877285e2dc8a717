use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use tempfile::TempDir;
use uuid::Uuid;

use crate::ledger::copies::backup::backup_folder;
use crate::ledger::copies::restore::look_at;
use crate::ledger::copies::restore::restore;
use crate::ledger::file::connect::Access;
use crate::ledger::file::open::Ledger;
use crate::ledger::file::recognise::{known_schema, read_schema};
use crate::ledger::schema::migrate::*;
use crate::values::time::clock::Clock;

/// A step no release has, in the shape a later one may take: a column, a table and an index.
const LATER: Step = Step {
    to: Version { major: 2, minor: 1 },
    sql: "ALTER TABLE jar ADD COLUMN colour TEXT;
          CREATE TABLE tasting (id INTEGER PRIMARY KEY, jar_id INTEGER NOT NULL REFERENCES jar (id)) STRICT;
          CREATE INDEX tasting_by_jar ON tasting (jar_id);
          INSERT INTO setting (entry_id, key, value) VALUES (1, 'tasted', 'yes');",
};

/// A frozen ledger of every released schema.
const RELEASED: &[(Version, &str)] = &[
    (Version { major: 1, minor: 0 }, include_str!("../../../../fixtures/schema/v1.0.sql")),
    (Version { major: 2, minor: 0 }, include_str!("../../../../fixtures/schema/v2.0.sql")),
];

const FAILING: Step = Step {
    to: Version { major: 2, minor: 1 },
    sql: "ALTER TABLE jar ADD COLUMN colour TEXT; INSERT INTO setting (key) VALUES ('no entry');",
};

const DANGLING: Step = Step {
    to: Version { major: 2, minor: 1 },
    sql: "INSERT INTO setting (entry_id, key, value) VALUES (99, 'x', 'y');",
};

fn clock() -> Clock {
    Clock { now: "2026-09-01T12:00:00+02:00".parse().unwrap() }
}

/// A ledger with one entry, in a folder of its own.
fn ledger() -> (TempDir, PathBuf) {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("ledger.jarledger");
    Ledger::begin(&path, Uuid::from_u128(1), clock(), |ledger| {
        ledger.write("setup", clock(), |write| {
            write.set_altitude("500ft".parse().unwrap())?;
            Ok(((), "kitchen at 500ft".to_owned()))
        })
    })
    .unwrap();
    (folder, path)
}

fn with(step: Step) -> Vec<Step> {
    STEPS.iter().copied().chain([step]).collect()
}

fn upgrade(path: &Path, step: Step) -> Result<(), LedgerError> {
    Ledger::open_as_is(path)?;
    Ledger::attach(path, Access::Write)?.bring_up_to_date(&with(step))
}

#[test]
fn an_upgraded_schema_is_the_fresh_one_of_that_version() {
    let (_folder, path) = ledger();
    upgrade(&path, LATER).unwrap();
    let upgraded = Connection::open(&path).unwrap();
    let fresh = Connection::open_in_memory().unwrap();
    fresh.pragma_update(None, "foreign_keys", false).unwrap();
    for step in with(LATER) {
        fresh.execute_batch(step.sql).unwrap();
    }
    assert_eq!(read_schema(&upgraded).unwrap(), read_schema(&fresh).unwrap());
    assert_ne!(read_schema(&upgraded).unwrap(), known_schema(Version::CURRENT).unwrap());
    // What was in it is in it, and the release before still reads it.
    assert_eq!(Ledger::open(&path).unwrap().household().unwrap().altitude, "500ft".parse().unwrap());
}

#[test]
fn the_copy_made_before_is_the_ledger_as_it_was() {
    let (_folder, path) = ledger();
    let before = look_at(&path).unwrap();
    upgrade(&path, LATER).unwrap();
    let copies: Vec<_> =
        fs::read_dir(backup_folder(&path)).unwrap().map(|found| found.unwrap().path()).collect();
    assert_eq!(copies.len(), 1, "{copies:?}");
    assert!(copies[0].to_str().unwrap().contains("ledger-schema-2.0-"), "{copies:?}");
    assert_eq!(look_at(&copies[0]).unwrap(), before);
}

#[test]
fn a_step_that_fails_leaves_the_file_as_it_was() {
    for step in [FAILING, DANGLING] {
        let (_folder, path) = ledger();
        let before = fs::read(&path).unwrap();
        assert!(upgrade(&path, step).is_err());
        assert!(fs::read(&path).unwrap() == before, "{step:?}");
        Ledger::open(&path).unwrap();
    }
}

#[test]
fn opening_twice_changes_nothing() {
    let (_folder, path) = ledger();
    let before = fs::read(&path).unwrap();
    drop(Ledger::open_to_write(&path).unwrap());
    drop(Ledger::open(&path).unwrap());
    migrate(&Connection::open(&path).unwrap(), STEPS).unwrap();
    assert!(fs::read(&path).unwrap() == before);
}

#[test]
fn versions_rise_from_step_to_step_and_end_at_the_current_one() {
    assert!(STEPS.is_sorted_by(|a, b| a.to < b.to));
    assert_eq!(STEPS.last().map(|step| step.to), Some(Version::CURRENT));
}

/// The path of the ledger a child of the kill test is to upgrade.
const CHILD: &str = "JARLEDGER_TEST_UPGRADE";

#[test]
#[ignore = "run by fault_03 as a process of its own"]
fn upgrade_in_a_child() {
    if let Some(path) = std::env::var_os(CHILD) {
        upgrade(Path::new(&path), LATER).unwrap();
    }
}

#[test]
fn fault_03_an_upgrade_killed_at_any_call_leaves_the_old_version_or_the_new_one() {
    let traced = Command::new("strace").args(["-qq", "-o", "/dev/null", "true"]).status();
    if !traced.is_ok_and(|status| status.success()) {
        assert!(std::env::var_os("CI").is_none_or(|ci| ci != "true"), "this machine cannot trace");
        eprintln!("SKIPPED: this machine cannot trace system calls");
        return;
    }
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("ledger.jarledger");
    let mut hits = 0;
    for (released, sql) in RELEASED {
        let _ = fs::remove_file(&path);
        Connection::open(&path).unwrap().execute_batch(sql).unwrap();
        hits += killed_at_every_call(&folder, &path, *released);
    }
    assert!(hits > 20, "only {hits} calls were hit");
    println!("counted: {hits} kill points");
}

/// Kills the upgrade of a ledger of a released schema at each call in turn; returns how many were hit.
fn killed_at_every_call(folder: &TempDir, path: &Path, released: Version) -> usize {
    let before = fs::read(path).unwrap();
    let looked = look_at(path).unwrap();
    let entries = looked.entries;
    let mut hits = 0;
    for call in ["pwrite64", "fdatasync", "fsync", "unlink", "linkat", "link"] {
        for nth in 1.. {
            fs::write(path, &before).unwrap();
            let _ = fs::remove_dir_all(backup_folder(path));
            let _ = fs::remove_file(folder.path().join("ledger.jarledger-journal"));
            let status = Command::new("strace")
                .args(["-f", "-qq", "-o", "/dev/null", "-e", &format!("trace={call}")])
                .args(["-e", &format!("inject={call}:signal=KILL:when={nth}")])
                .arg(std::env::current_exe().unwrap())
                .args([
                    "--exact",
                    "--ignored",
                    "--test-threads=1",
                    "ledger::schema::migrate::tests::upgrade_in_a_child",
                ])
                .env(CHILD, path)
                .output()
                .unwrap()
                .status;
            let when = format!("{call} {nth}");
            // Opens and recovers, whichever of the two it is.
            let version =
                Ledger::open_as_is(path).unwrap_or_else(|error| panic!("{when}: {error}")).version();
            let now = look_at(path).unwrap();
            assert_eq!(now.entries, entries, "{when}");
            if status.success() {
                assert_eq!(version, LATER.to, "{when}");
                break;
            }
            hits += 1;
            if version == LATER.to {
                let copy = fs::read_dir(backup_folder(path)).unwrap().next().unwrap().unwrap().path();
                // The copy is the ledger as it was, and takes its place again.
                assert_eq!(look_at(&copy).unwrap(), looked, "{when}");
                restore(&copy, path, clock()).unwrap_or_else(|error| panic!("{when}: {error}"));
                assert_eq!(look_at(path).unwrap(), looked, "{when}");
            } else {
                assert_eq!(version, released, "{when}");
                upgrade(path, LATER).unwrap_or_else(|error| panic!("{when}: {error}"));
            }
        }
    }
    hits
}
