//! Faults 13 to 17: what stands at the path is not the ledger it should be.

use std::fs;

use rusqlite::Connection;

use crate::inject::counted;
use crate::lab::Lab;

/// A reading and a writing command.
const COMMANDS: [&[&str]; 2] =
    [&["canner", "list"], &["canner", "add", "X", "--method", "boiling-water", "--holds", "pint:7"]];

/// Puts `bytes` where the ledger was; every command ends with `code`, says `words` and changes nothing.
fn refused(lab: &Lab, bytes: &[u8], code: i32, words: &str) {
    fs::write(lab.ledger(), bytes).unwrap();
    for args in COMMANDS {
        let ended = lab.run(args);
        ended.assert_calm(words);
        assert_eq!(ended.code, Some(code), "{words}: {}", ended.err);
        assert!(ended.err.contains(words), "{words}: {}", ended.err);
        assert!(ended.err.contains(lab.ledger().to_str().unwrap()), "{words}: {}", ended.err);
        assert!(fs::read(lab.ledger()).unwrap() == bytes, "{words}: the file was changed");
        lab.assert_tidy(words);
    }
    for args in [&["--version"], &["--help"], &["doctor"]] {
        assert_eq!(lab.run(args).code, Some(0), "{words}");
    }
    assert!(fs::read(lab.ledger()).unwrap() == bytes, "{words}: `doctor` changed the file");
    counted(1, "strange files");
}

/// The ledger after some SQL by another program.
fn tampered(lab: &Lab, sql: &str) -> Vec<u8> {
    lab.reset();
    let conn = Connection::open(lab.ledger()).unwrap();
    conn.execute_batch(sql).unwrap();
    drop(conn);
    fs::read(lab.ledger()).unwrap()
}

#[test]
fn fault_13_what_is_not_a_ledger_is_never_opened_for_writing() {
    let lab = Lab::new();
    let whole = fs::read(lab.ledger()).unwrap();
    refused(&lab, b"", 6, "it is empty: 0 bytes");
    refused(&lab, b"two pints of pears, one of plums\n", 6, "it is not an SQLite file");
    refused(&lab, &[0x5a; 9000], 6, "it is not an SQLite file");
    refused(&lab, &[0; 4096], 6, "it is not an SQLite file");
    refused(&lab, &whole[..60], 6, "it is cut off inside its header");
    refused(&lab, &whole[..100], 6, "it is cut off inside its first page");
    refused(&lab, &whole[..4095], 6, "it is cut off inside its first page");
    for pages in 1..whole.len() / 4096 {
        refused(&lab, &whole[..pages * 4096], 6, "is damaged");
    }
    refused(&lab, &whole[..whole.len() - 1], 6, "is damaged");
}

#[test]
fn fault_13_the_message_names_the_newest_backup_and_the_command_that_restores_it() {
    let lab = Lab::new();
    lab.world.ok(&["backup"]);
    let before = lab.contents();
    let folder = lab.world.home().join("ledger-backups");
    let backup = fs::read_dir(&folder)
        .unwrap()
        .map(|found| found.unwrap().path())
        .find(|file| file.extension().is_some_and(|end| end == "jarledger"))
        .unwrap();
    let whole = fs::read(lab.ledger()).unwrap();
    for bytes in [&b""[..], b"pears", &whole[..60], &whole[..whole.len() - 4096], &[0x5a; 9000]] {
        fs::write(lab.ledger(), bytes).unwrap();
        let ended = lab.run(COMMANDS[1]);
        assert_eq!(ended.code, Some(6), "{}", ended.err);
        let command = format!("`jarledger restore {}`", backup.display());
        assert!(ended.err.contains(&command), "{}", ended.err);
        let restored = lab.run(&["restore", backup.to_str().unwrap(), "--yes"]);
        assert_eq!(restored.code, Some(0), "{}", restored.err);
        assert_eq!(lab.contents(), before);
    }
}

#[test]
fn fault_13_a_folder_or_a_pipe_is_no_ledger() {
    let lab = Lab::new();
    fs::remove_file(lab.ledger()).unwrap();
    fs::create_dir(lab.ledger()).unwrap();
    assert_eq!(lab.run(COMMANDS[0]).code, Some(6));
    fs::remove_dir(lab.ledger()).unwrap();
    let made = std::process::Command::new("mkfifo").arg(lab.ledger()).status().unwrap();
    assert!(made.success());
    for args in COMMANDS {
        let ended = lab.run(args);
        assert_eq!(ended.code, Some(6), "{}", ended.err);
        assert!(ended.err.contains("it is not a plain file"), "{}", ended.err);
    }
}

#[test]
fn fault_15_a_later_major_version_is_refused_with_both_versions() {
    let lab = Lab::new();
    let newer = tampered(&lab, "PRAGMA user_version = 3000");
    refused(&lab, &newer, 7, "has schema 3.0, and this build reads up to 2.0");
    let ended = lab.run(COMMANDS[0]);
    assert!(ended.err.contains(env!("CARGO_BIN_EXE_jarledger")), "{}", ended.err);
    assert!(ended.err.contains("another copy may be on PATH"), "{}", ended.err);
}

#[test]
fn fault_15_a_later_minor_version_works() {
    let lab = Lab::new();
    let newer = tampered(
        &lab,
        "ALTER TABLE jar ADD COLUMN colour TEXT;
         CREATE TABLE tasting (id INTEGER PRIMARY KEY, batch_id INTEGER REFERENCES batch (id)) STRICT;
         CREATE INDEX tasting_by_batch ON tasting (batch_id);
         CREATE TRIGGER tasting_kept BEFORE DELETE ON tasting BEGIN SELECT RAISE(ABORT, 'kept'); END;
         PRAGMA user_version = 2001;",
    );
    fs::write(lab.ledger(), &newer).unwrap();
    assert_eq!(lab.run(COMMANDS[0]).code, Some(0));
    assert!(fs::read(lab.ledger()).unwrap() == newer, "a read changed the file");
    let ended = lab.run(COMMANDS[1]);
    assert_eq!(ended.code, Some(0), "{}", ended.err);
    let conn = Connection::open(lab.ledger()).unwrap();
    let version: i64 = conn.query_row("PRAGMA user_version", [], |row| row.get(0)).unwrap();
    assert_eq!(version, 2001);
}

#[test]
fn fault_15_a_later_minor_version_may_not_change_what_is_ours() {
    let lab = Lab::new();
    for sql in [
        "CREATE TRIGGER t AFTER INSERT ON canner BEGIN DELETE FROM setting; END",
        "CREATE VIEW v AS SELECT 1",
        "DROP TRIGGER event_stays",
        "DROP INDEX event_by_jar",
        "ALTER TABLE jar ADD COLUMN loud TEXT AS (upper(note))",
        "ALTER TABLE canner RENAME COLUMN method TO kind",
    ] {
        let newer = tampered(&lab, &format!("{sql}; PRAGMA user_version = 2001;"));
        refused(&lab, &newer, 6, "is damaged");
    }
}

#[test]
fn fault_16_a_file_of_another_program_is_left_alone() {
    let lab = Lab::new();
    let foreign = tampered(&lab, "PRAGMA application_id = 7");
    refused(&lab, &foreign, 6, "it is an SQLite file of another program");
    fs::remove_file(lab.ledger()).unwrap();
    let conn = Connection::open(lab.ledger()).unwrap();
    conn.execute_batch("CREATE TABLE ledger (id INTEGER PRIMARY KEY)").unwrap();
    drop(conn);
    let foreign = fs::read(lab.ledger()).unwrap();
    refused(&lab, &foreign, 6, "it is an SQLite file of another program");
}

#[test]
fn fault_16_a_write_ahead_log_is_not_replayed() {
    let lab = Lab::new();
    let whole = fs::read(lab.ledger()).unwrap();
    fs::write(lab.world.home().join("ledger.jarledger-wal"), b"anything").unwrap();
    let ended = lab.run(COMMANDS[0]);
    assert_eq!(ended.code, Some(6), "{}", ended.err);
    assert!(ended.err.contains("write-ahead log"), "{}", ended.err);
    // Restoring would lose what the log holds: the way back is SQLite's own.
    assert!(
        ended.err.contains("PRAGMA journal_mode = DELETE") && !ended.err.contains("restore"),
        "{}",
        ended.err
    );
    assert!(fs::read(lab.ledger()).unwrap() == whole);
}

#[test]
fn fault_16_a_restore_moves_a_stale_write_ahead_log_out_of_the_way() {
    let lab = Lab::new();
    let copy = lab.world.home().join("early.jarledger");
    lab.world.ok(&["backup", copy.to_str().unwrap()]);
    // Another tool switches the ledger, writes, and is killed before it puts the log into the file.
    let conn = Connection::open(lab.ledger()).unwrap();
    conn.execute_batch("PRAGMA journal_mode = WAL; PRAGMA wal_autocheckpoint = 0").unwrap();
    conn.execute_batch("UPDATE setting SET value = '9999ft' WHERE key = 'altitude'").unwrap();
    let log = lab.world.home().join("ledger.jarledger-wal");
    let stale = fs::read(&log).unwrap();
    let file = fs::read(lab.ledger()).unwrap();
    drop(conn);
    fs::write(lab.ledger(), &file).unwrap();
    fs::write(&log, &stale).unwrap();
    let restored = lab.run(&["restore", copy.to_str().unwrap(), "--yes"]);
    assert_eq!(restored.code, Some(0), "{}", restored.err);
    assert!(!log.exists() && !lab.world.home().join("ledger.jarledger-shm").exists());
    assert!(fs::read(lab.ledger()).unwrap() == fs::read(&copy).unwrap());
    lab.assert_whole("a restore beside a stale log");
    let kept: Vec<String> = fs::read_dir(lab.world.home())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.contains("-replaced") && name.ends_with("-wal"))
        .collect();
    assert_eq!(kept.len(), 1, "{kept:?}");
}

#[test]
fn fault_16_a_ledger_in_wal_mode_is_named_as_that_and_the_way_back_loses_nothing() {
    let lab = Lab::with_shelf();
    let log = lab.world.home().join("ledger.jarledger-wal");
    let conn = Connection::open(lab.ledger()).unwrap();
    conn.execute_batch("PRAGMA journal_mode = WAL; PRAGMA wal_autocheckpoint = 0").unwrap();
    conn.execute_batch("UPDATE setting SET value = '700ft' WHERE key = 'altitude'").unwrap();
    let (file, stale) = (fs::read(lab.ledger()).unwrap(), fs::read(&log).unwrap());
    drop(conn);
    fs::write(lab.ledger(), &file).unwrap();
    fs::write(&log, &stale).unwrap();
    let others: [&[&str]; 5] = [
        &["check"],
        &["backup", "copy"],
        &["--json", "shelf"],
        &["open", "26-002", "1"],
        &["setup", "--altitude", "900ft"],
    ];
    for args in READINGS.iter().chain(&others) {
        let ended = lab.run(args);
        if args == &["setup", "--list"] {
            assert!(
                ended.out.contains("altitude: none (not known: the ledger does not open)"),
                "{}",
                ended.out
            );
            continue;
        }
        assert_eq!(ended.code, Some(6), "{args:?}: {}", ended.err);
        assert!(ended.err.contains("write-ahead log"), "{args:?}: {}", ended.err);
        assert!(!ended.err.contains("damaged") && !ended.err.contains("restore"), "{args:?}: {}", ended.err);
    }
    for args in [&["doctor"][..], &["doctor", "--json"]] {
        let told = lab.run(args).out;
        assert!(told.contains("write-ahead") && told.contains("PRAGMA journal_mode = DELETE"), "{told}");
        assert!(!told.contains("damaged") && !told.contains("jarledger restore"), "{told}");
    }
    assert!(fs::read(lab.ledger()).unwrap() == file && fs::read(&log).unwrap() == stale);
    // What the hint says, done by SQLite.
    Connection::open(lab.ledger()).unwrap().pragma_update(None, "journal_mode", "DELETE").unwrap();
    assert!(lab.run(&["setup", "--list"]).out.contains("altitude: 700ft "));
    assert_eq!(lab.run(&["check"]).code, Some(0));
}

#[test]
fn fault_17_nothing_a_stranger_put_into_the_schema_runs() {
    let lab = Lab::new();
    for sql in [
        "CREATE TRIGGER t AFTER INSERT ON canner BEGIN SELECT load_extension('/tmp/x'); END",
        "CREATE TRIGGER t AFTER INSERT ON entry BEGIN DELETE FROM setting; END",
        "CREATE VIEW v AS WITH RECURSIVE n(x) AS (SELECT 1 UNION ALL SELECT x + 1 FROM n) SELECT x FROM n",
        "CREATE TABLE extra (x)",
        "CREATE INDEX extra ON entry (command) WHERE hex(zeroblob(10)) = ''",
        "CREATE VIRTUAL TABLE extra USING fts5 (x)",
        "ALTER TABLE canner ADD COLUMN loud TEXT AS (upper(name))",
        "DROP TRIGGER event_fits",
        "DROP TABLE canner_capacity; CREATE VIEW canner_capacity AS SELECT 1 AS canner_id, 'pint' AS size, 1 AS jars",
    ] {
        let hostile = tampered(&lab, sql);
        refused(&lab, &hostile, 6, "is damaged");
    }
}

#[test]
fn fault_17_values_too_large_for_any_release_are_refused_in_bounded_memory() {
    let lab = Lab::new();
    let hostile = tampered(&lab, "UPDATE canner SET name = hex(zeroblob(30000000));");
    fs::write(lab.ledger(), &hostile).unwrap();
    let ended = lab.run(COMMANDS[0]);
    ended.assert_calm("a name of 60 MB");
    assert_eq!(ended.code, Some(6), "{}", ended.err);
}

#[test]
fn fault_17_statistics_of_another_tool_do_no_harm() {
    let lab = Lab::new();
    let analysed = tampered(&lab, "ANALYZE");
    fs::write(lab.ledger(), &analysed).unwrap();
    assert_eq!(lab.run(COMMANDS[0]).code, Some(0));
}

#[test]
#[ignore = "opens the file once for each of its bytes"]
fn fault_14_no_flipped_bit_makes_a_panic_or_a_wrong_count_that_check_does_not_find() {
    let lab = Lab::new();
    let whole = fs::read(lab.ledger()).unwrap();
    let said = lab.run(COMMANDS[0]).out;
    let (mut flipped_bytes, mut found) = (0, 0);
    for at in 0..whole.len() {
        // Whole runs of zeros are free space; every 64th of their bytes stands for them.
        if whole[at] == 0 && at % 64 != 0 {
            continue;
        }
        let mut flipped = whole.clone();
        flipped[at] ^= 1 << (at % 8);
        fs::write(lab.ledger(), &flipped).unwrap();
        let ended = lab.run(COMMANDS[0]);
        ended.assert_calm(&format!("byte {at}"));
        assert!(matches!(ended.code, Some(0 | 3 | 6 | 7)), "byte {at}: {:?} {}", ended.code, ended.err);
        if ended.code == Some(0) && ended.out.lines().count() != said.lines().count() {
            let checked = lab.run(&["check"]);
            assert!(matches!(checked.code, Some(6 | 11)), "byte {at}: {}{}", ended.out, checked.out);
            found += 1;
        }
        assert!(fs::read(lab.ledger()).unwrap() == flipped, "byte {at}: a read changed the file");
        flipped_bytes += 1;
    }
    counted(flipped_bytes, "flipped bytes");
    counted(found, "wrong counts of a reading that `check` found");
}

/// Every kind of reading.
pub(crate) const READINGS: [&[&str]; 19] = [
    &[],
    &["shelf"],
    &["shelf", "--jars"],
    &["eat"],
    &["season"],
    &["history"],
    &["canner", "list"],
    &["recipe"],
    &["process", "list"],
    &["setup", "--list"],
    &["batch", "26-001"],
    &["jar", "26-001-01"],
    &["label", "--sheets"],
    &["label", "26-001", "--out", "labels.pdf"],
    &["report", "--out", "report.html"],
    &["calendar", "--out", "jars.ics"],
    &["trace", "26-001"],
    &["export", "--json"],
    &["run"],
];

#[test]
fn fault_42_no_value_that_stops_a_command_passes_check_or_an_import() {
    let lab = Lab::new();
    let demo = lab.world.home().join("demo.jarledger");
    lab.world.ok(&["demo", "--ledger", "demo.jarledger"]);
    let words = ["page=a4", "label=63x38", "grid=3x6"];
    let define = [&["--ledger", "demo.jarledger", "label", "--define", "Rows"][..], &words].concat();
    lab.world.ok(&define);
    let whole = fs::read(&demo).unwrap();
    let (mut stopped, mut refused) = (0, 0);
    for (sql, table) in [
        ("UPDATE setting SET value = '850fu' WHERE key = 'altitude'", "setting"),
        ("UPDATE setting SET value = '' WHERE key = 'altitude'", "setting"),
        ("UPDATE load SET altitude = '' WHERE id = 1", "load"),
        ("UPDATE load SET altitude = '850fu' WHERE id = 1", "load"),
        ("UPDATE load SET out_at = 9223372036854775807 WHERE id = 1", "load"),
        ("UPDATE load SET out_at = -9223372036854775808 WHERE id = 1", "load"),
        ("UPDATE load SET out_at = 8210266876000 WHERE id = 1", "load"),
        ("UPDATE load SET reached_at = 9223372036854775807 WHERE id = 1", "load"),
        ("UPDATE load SET acid = 'one spoon' WHERE id = 1", "load"),
        ("UPDATE label_sheet SET definition = '{}'", "label sheet"),
        ("UPDATE recipe SET definition = '{}'", "recipe"),
        ("UPDATE batch SET note = hex(zeroblob(25000000)) WHERE id = 1", ""),
        ("UPDATE batch SET food = 'Not A Food!' WHERE id = 1", "batch"),
        ("UPDATE household_process SET food = ''", "household_process"),
        ("UPDATE household_process SET altitude_min_ft = -9999999999", "household_process"),
        ("UPDATE setting SET key = 'altitudo' WHERE key = 'altitude'", "setting"),
        ("UPDATE setting SET key = 'quality-months/blackbery jam' WHERE key LIKE 'quality%'", "setting"),
        ("UPDATE setting SET value = '9999999' WHERE key LIKE 'quality%'", "setting"),
        (r#"UPDATE recipe SET definition = replace(definition, '"jars":7', '"jars":0')"#, "recipe"),
        (
            r#"UPDATE recipe SET definition = replace(definition, '"minutes":20', '"minutes":2000000000')"#,
            "recipe",
        ),
        (r#"UPDATE recipe SET definition = replace(definition, '"food":"pears"', '"food":"zzz"')"#, "recipe"),
        ("UPDATE run SET food = 'zzz'", "run"),
    ] {
        fs::write(&demo, &whole).unwrap();
        let conn = Connection::open(&demo).unwrap();
        let written_as = |name: &str| {
            conn.query_row("SELECT sql FROM sqlite_schema WHERE name = ?1", [name], |row| {
                row.get::<_, String>(0)
            })
        };
        let stays = ["recipe_stays", "run_stays"].map(|name| (name, written_as(name).unwrap()));
        for (name, _) in &stays {
            conn.execute_batch(&format!("DROP TRIGGER {name}")).unwrap();
        }
        assert_ne!(conn.execute(sql, []).unwrap(), 0, "{sql}");
        for (_, text) in &stays {
            conn.execute_batch(text).unwrap();
        }
        drop(conn);
        let checked = lab.run(&["check", "--ledger", "demo.jarledger"]);
        checked.assert_calm(sql);
        assert!(
            matches!(checked.code, Some(6 | 11)),
            "{sql}: {:?} {}{}",
            checked.code,
            checked.out,
            checked.err
        );
        assert!(checked.out.contains(table), "{sql}: {}", checked.out);
        for args in READINGS {
            let read = lab.run(&[args, &["--ledger", "demo.jarledger"]].concat());
            read.assert_calm(sql);
            stopped += usize::from(read.code == Some(6));
        }
        let out = lab.run(&["export", "--json", "--out", "whole.json", "--ledger", "demo.jarledger"]);
        if out.code == Some(0) {
            let brought = lab.run(&["import", "whole.json", "--ledger", "new.jarledger"]);
            assert_eq!(brought.code, Some(5), "{sql}: {}{}", brought.out, brought.err);
            refused += 1;
            fs::remove_file(lab.world.home().join("whole.json")).unwrap();
        }
        counted(1, "strange files");
    }
    assert!(stopped > 3, "only {stopped} readings were stopped");
    assert!(refused > 6, "only {refused} exports were tried");
}

#[test]
fn fault_42_a_jar_out_of_its_place_is_found() {
    let lab = Lab::new();
    let demo = lab.world.home().join("demo.jarledger");
    lab.world.ok(&["demo", "--ledger", "demo.jarledger"]);
    let whole = fs::read(&demo).unwrap();
    for sql in [
        "UPDATE jar SET load_id = (SELECT max(id) FROM load) WHERE id = 1",
        "UPDATE jar SET number = 4711 WHERE id = 1",
        "UPDATE jar SET load_id = NULL WHERE id = 1",
    ] {
        fs::write(&demo, &whole).unwrap();
        Connection::open(&demo).unwrap().execute_batch(sql).unwrap();
        let checked = lab.run(&["check", "--ledger", "demo.jarledger"]);
        assert_eq!(checked.code, Some(11), "{sql}: {}{}", checked.out, checked.err);
        assert!(checked.out.contains("misplaced"), "{sql}: {}", checked.out);
    }
}
