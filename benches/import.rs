//! A million jars through `jarledger import`, beside the sqlite3 shell's `.import` of the same rows into the same tables
//! with the same triggers.
//!
//! ```text
//! cargo bench --bench import
//! JARS=100000 ROUNDS=3 cargo bench --bench import
//! ```
//!
//! The shell is given finished rows, a CSV a table, as this program left them and in the order of the list: it neither
//! looks up a name or a number, nor knows a row again, nor finds a fault in one. Into a ledger made by this program it
//! brings them in one durable transaction with as large a cache. `.import` can write no NULL, so the jars' load and lid
//! lot are 0 there: references are not checked for it, and the two indexes without an entry in ours are dropped.

#![allow(clippy::unwrap_used, reason = "a measurement stops where it cannot go on")]

mod kitchen;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use kitchen::measure::{median, peak};
use kitchen::{folder, jarledger, must, shelf_csv};

const TABLES: [(&str, &str); 5] = [
    ("product", "SELECT * FROM product"),
    ("place", "SELECT * FROM place"),
    ("batch", "SELECT * FROM batch"),
    (
        "jar",
        "SELECT id, batch_id, number, size, 0, 0, best_by, born, born_place_id, state, place_id, held, '' FROM jar",
    ),
    ("import_row", "SELECT * FROM import_row ORDER BY batch_id"),
];

fn fresh(name: &str) -> PathBuf {
    let ledger = folder().join(name);
    let _ = fs::remove_file(&ledger);
    must(&mut jarledger(&ledger, &["setup", "--altitude", "850ft"]));
    ledger
}

fn shell(ledger: &Path, script: &[String]) -> Command {
    let mut command = Command::new("sqlite3");
    command.env_clear().env("HOME", folder()).args(["-batch", "-init", "/dev/null"]);
    for line in script {
        command.arg("-cmd").arg(line);
    }
    command.arg(ledger).arg("SELECT 1");
    command
}

fn rows(table: &str) -> String {
    folder().join(format!("rows-{table}.csv")).display().to_string()
}

/// Writes the rows of a finished import for the shell.
fn dump(ledger: &Path) {
    for (table, sql) in TABLES {
        let script = [".mode csv".to_owned(), format!(".once '{}'", rows(table)), format!("{sql};")];
        must(&mut shell(ledger, &script));
    }
}

fn shell_import(ledger: &Path) -> Command {
    let mut script = vec![
        "PRAGMA foreign_keys = OFF; PRAGMA journal_mode = DELETE; PRAGMA synchronous = EXTRA; \
         PRAGMA cache_size = -24576; DROP INDEX jar_by_load; DROP INDEX jar_by_lid_lot; BEGIN IMMEDIATE;"
            .to_owned(),
        "INSERT INTO entry (id, uuid, command, at, at_offset, on_date)
         SELECT 2, substr(uuid, 1, 35) || 'x', 'import', 0, 0, '2026-11-25' FROM entry;"
            .to_owned(),
    ];
    script.extend(TABLES.iter().map(|(table, _)| format!(".import --csv '{}' {table}", rows(table))));
    script.push("UPDATE entry SET summary = 'imported' WHERE id = 2; COMMIT;".to_owned());
    shell(ledger, &script)
}

fn counted(ledger: &Path) -> String {
    let sql =
        "SELECT (SELECT count(*) FROM jar), (SELECT count(*) FROM batch), (SELECT count(*) FROM import_row)";
    let ran = must(Command::new("sqlite3").args(["-batch", "-init", "/dev/null"]).arg(ledger).arg(sql));
    String::from_utf8(ran.stdout).unwrap()
}

fn main() {
    let number = |name: &str| std::env::var(name).ok().and_then(|given| given.parse().ok());
    let (jars, rounds) = (number("JARS").unwrap_or(1_000_000), number("ROUNDS").unwrap_or(3));
    let csv = shelf_csv(jars).display().to_string();
    let (mut ours, mut theirs) = (Vec::new(), Vec::new());
    let (mut our_most, mut their_most) = (0.0_f64, 0.0_f64);
    for round in 0..=rounds {
        let ledger = fresh("import-ours.jarledger");
        let (took, most) = peak(&mut jarledger(&ledger, &["import", &csv]));
        our_most = our_most.max(most);
        if round == 0 {
            // The first only makes the rows, and warms both files up.
            dump(&ledger);
            continue;
        }
        ours.push(took);
        let beside = fresh("import-theirs.jarledger");
        let (took, most) = peak(&mut shell_import(&beside));
        their_most = their_most.max(most);
        theirs.push(took);
        assert_eq!(counted(&ledger), counted(&beside));
    }
    let (ours, theirs) = (median(ours).as_secs_f64(), median(theirs).as_secs_f64());
    println!("{jars} jars, medians of {rounds} rounds by turns:");
    println!("jarledger import    {ours:7.2} s, peak {our_most:6.1} MiB");
    println!("sqlite3 .import     {theirs:7.2} s, peak {their_most:6.1} MiB");
    println!("ratio               {:7.2}", ours / theirs);
}
