//! Ledgers of any size to measure on: a household that has eaten nearly all it put up, and a shelf brought in whole.

#![allow(dead_code, reason = "each measurement uses its own part of it")]

pub mod measure;

use std::fs;
use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

use chrono::{Datelike, Days, NaiveDate};
use rusqlite::config::DbConfig;
use rusqlite::{Connection, params};
use uuid::Uuid;

/// The day every command of a measurement runs on.
pub const TODAY: &str = "2026-11-25";
/// Jars of a batch.
pub const OF_A_BATCH: u32 = 10;
/// The last batches, of which some jars are still there, and how many of each are not.
const LATE_BATCHES: u32 = 75;
pub const EATEN_OF_LATE: u32 = 2;
/// Days over which the other batches were put up.
const YEARS_IN_DAYS: u32 = 7_000;
const PRODUCTS: u32 = 40;
const PLACES: u32 = 8;
const LID_LOTS: u32 = 50;

/// Where measurements keep their files.
pub fn folder() -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("kitchen");
    fs::create_dir_all(&folder).unwrap();
    folder
}

/// The program measured: that of this build, or another that `PROGRAM` names, copied as an installation copies it.
///
/// The shell beside it was installed too. A file as the linker leaves it lies in small pieces in the page cache and
/// takes a tenth longer to start.
pub fn program() -> &'static Path {
    static INSTALLED: OnceLock<PathBuf> = OnceLock::new();
    INSTALLED.get_or_init(|| {
        let built: PathBuf =
            std::env::var_os("PROGRAM").map_or_else(|| env!("CARGO_BIN_EXE_jarledger").into(), PathBuf::from);
        let installed = folder().join("jarledger");
        let _ = fs::remove_file(&installed);
        fs::copy(&built, &installed).unwrap();
        installed
    })
}

/// The program, on a ledger.
pub fn jarledger(ledger: &Path, args: &[&str]) -> Command {
    let mut command = Command::new(program());
    command.env_clear().env("HOME", folder()).env("JARLEDGER_FILE", ledger);
    command.args(["--today", TODAY]).args(args);
    command
}

/// Runs a command that must succeed.
pub fn must(command: &mut Command) -> Output {
    let ran = command.output().unwrap_or_else(|error| panic!("{command:?}: {error}"));
    assert!(ran.status.success(), "{command:?}: {}", String::from_utf8_lossy(&ran.stderr));
    ran
}

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// A ledger of so many jars, 600 of them still there. It is made once and kept for the next run.
///
/// The first batch is logged by the program itself; the others are its copies under other names and days, with the
/// events and entries of their eating, written by SQL with the triggers off and their work done here.
pub fn household(jars: u32) -> PathBuf {
    let ledger = folder().join(format!("household-{jars}.jarledger"));
    if ledger.exists() {
        return ledger;
    }
    let making = folder().join("making.jarledger");
    let _ = fs::remove_file(&making);
    begin(&making);
    fill(&making, jars);
    fs::rename(&making, &ledger).unwrap();
    ledger
}

fn begin(ledger: &Path) {
    let run = |today: &str, args: &[&str]| {
        let mut command = Command::new(program());
        command.env_clear().env("HOME", folder()).env("JARLEDGER_FILE", ledger);
        must(command.args(["--today", today, "--quiet"]).args(args));
    };
    let first = (day(TODAY) - Days::new(YEARS_IN_DAYS.into())).to_string();
    run(&format!("{first}T08:00"), &["setup", "--altitude", "850ft"]);
    run(
        &format!("{first}T08:00"),
        &["canner", "add", "Dial", "--method", "pressure-dial", "--holds", "pint:10"],
    );
    run(
        &format!("{first}T18:00"),
        &[&put_up("pint:10")[..], &["--out", "16:00", "--lid-lot", "Lot 00"]].concat(),
    );
}

/// Puts up a batch of so many jars, as both sides know it.
pub fn put_up(jars: &str) -> [&str; 21] {
    [
        "putup",
        "--product",
        "Food 00",
        "--food",
        "green-beans",
        "--pack",
        "hot",
        "--jars",
        jars,
        "--canner",
        "Dial",
        "--minutes",
        "20",
        "--pressure",
        "12",
        "--vent",
        "10",
        "--come-up",
        "6",
        "--place",
        "Place 0",
    ]
}

fn fill(ledger: &Path, jars: u32) {
    let mut conn = Connection::open(ledger).unwrap();
    conn.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_TRIGGER, false).unwrap();
    conn.execute_batch(
        "PRAGMA foreign_keys = OFF; PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF; PRAGMA cache_size = -200000;",
    )
    .unwrap();
    let uuid: String = conn.query_row("SELECT uuid FROM ledger", [], |row| row.get(0)).unwrap();
    let uuid: Uuid = uuid.parse().unwrap();
    let tx = conn.transaction().unwrap();
    for (table, names, what) in [("product", PRODUCTS, "Food"), ("lid_lot", LID_LOTS, "Lot")] {
        let sql = format!("INSERT OR IGNORE INTO {table} (id, name, name_key) VALUES (?1, ?2, lower(?2))");
        for name in 0..names {
            tx.execute(&sql, params![name + 1, format!("{what} {name:02}")]).unwrap();
        }
    }
    for place in 0..PLACES {
        let name = format!("Place {place}");
        tx.execute(
            "INSERT OR IGNORE INTO place (id, name, name_key) VALUES (?1, ?2, lower(?2))",
            params![place + 1, name],
        )
        .unwrap();
    }
    let mut writing = Writing::new(&tx, uuid);
    for batch in 0..jars / OF_A_BATCH {
        writing.batch(batch, jars / OF_A_BATCH);
    }
    drop(writing);
    tx.commit().unwrap();
}

/// What is prepared once to write batches.
struct Writing<'t> {
    uuid: Uuid,
    entry: i64,
    event: i64,
    numbers: [u32; 100],
    insert_entry: rusqlite::Statement<'t>,
    insert_batch: rusqlite::Statement<'t>,
    insert_load: rusqlite::Statement<'t>,
    insert_judgement: rusqlite::Statement<'t>,
    insert_jar: rusqlite::Statement<'t>,
    insert_event: rusqlite::Statement<'t>,
    insert_check: rusqlite::Statement<'t>,
}

impl<'t> Writing<'t> {
    fn new(tx: &'t Connection, uuid: Uuid) -> Self {
        let prepare = |sql: &str| tx.prepare(sql).unwrap();
        let number = |sql: &str| tx.query_row(sql, [], |row| row.get(0)).unwrap();
        Self {
            uuid,
            entry: number("SELECT max(id) FROM entry"),
            event: number("SELECT coalesce(max(id), 0) FROM event"),
            numbers: [0; 100],
            insert_entry: prepare(
                "INSERT INTO entry (id, uuid, command, summary, at, at_offset, on_date)
                 VALUES (?1, ?2, ?3, ?4, unixepoch(?5) + ?6, 0, ?5)",
            ),
            insert_batch: prepare(
                "INSERT INTO batch (id, entry_id, year, number, product_id, food, acidity, pack, put_up, origin, note)
                 SELECT ?1, ?2, ?3, ?4, ?5, food, acidity, pack, ?6, origin, note FROM batch
                 WHERE id = 1 ON CONFLICT DO NOTHING",
            ),
            insert_load: prepare(
                "INSERT INTO load (id, batch_id, number, canner_id, altitude, pressure, pressure_entered, minutes, vent_min,
                     come_up_min, acid, reached_at, ended_at, out_at, out_offset, went_wrong, verdict, findings)
                 SELECT ?1, ?1, number, canner_id, altitude, pressure, pressure_entered, minutes,
                     vent_min, come_up_min, acid, reached_at, ended_at, unixepoch(?2) + 57600, 0, went_wrong, verdict,
                     findings FROM load WHERE id = 1 ON CONFLICT DO NOTHING",
            ),
            insert_judgement: prepare(
                "INSERT INTO judgement (id, load_id, entry_id, verdict, findings)
                 SELECT ?1, ?1, ?2, verdict, findings FROM judgement WHERE id = 1
                 ON CONFLICT DO NOTHING",
            ),
            insert_jar: prepare(
                "INSERT INTO jar (id, batch_id, number, size, load_id, lid_lot_id, best_by, born, born_place_id, state,
                     place_id)
                 VALUES (?1, ?2, ?3, 'pint', ?2, ?4, ?5, 'cooling', ?6, ?7, ?6)
                 ON CONFLICT DO UPDATE SET state = excluded.state",
            ),
            insert_event: prepare(
                "INSERT INTO event (id, jar_id, entry_id, act, from_state, to_state, at, at_offset, on_date)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, unixepoch(?7) + ?8, 0, ?7)",
            ),
            insert_check: prepare("INSERT INTO seal_check (event_id, jar_id, sealed, test, early) VALUES (?1, ?2, 1, 'press', 0)"),
        }
    }

    /// Writes an entry `seconds` after the midnight of a day.
    fn entry(&mut self, command: &str, on: NaiveDate, seconds: u32) {
        self.entry += 1;
        let name = Uuid::new_v5(&self.uuid, format!("entry/{}", self.entry).as_bytes());
        self.insert_entry
            .execute(params![self.entry, name.to_string(), command, "as measured", on.to_string(), seconds])
            .unwrap();
    }

    fn event(&mut self, jar: u32, (act, from, to): (&str, &str, &str), on: NaiveDate, seconds: u32) {
        self.event += 1;
        self.insert_event
            .execute(params![self.event, jar, self.entry, act, from, to, on.to_string(), seconds])
            .unwrap();
    }

    /// Writes the `at`th batch of so many, with what became of its jars.
    fn batch(&mut self, at: u32, batches: u32) {
        let is_late = at + LATE_BATCHES >= batches;
        let age =
            if is_late { 4 * (batches - at) } else { YEARS_IN_DAYS - at * (YEARS_IN_DAYS - 400) / batches };
        let put_up = day(TODAY) - Days::new(age.into());
        let id = at + 1;
        // The first is there already, with its entry.
        if at > 0 {
            self.entry("putup", put_up, 64_800);
        }
        let year = put_up.year() % 100;
        let number = &mut self.numbers[year as usize];
        *number += 1;
        self.insert_batch
            .execute(params![id, self.entry, year, *number, at % PRODUCTS + 1, put_up.to_string()])
            .unwrap();
        self.insert_load.execute(params![id, put_up.to_string()]).unwrap();
        self.insert_judgement.execute(params![id, self.entry]).unwrap();
        let best_by = put_up.with_year(put_up.year() + 1).unwrap_or(put_up);
        let eaten = if is_late { EATEN_OF_LATE } else { OF_A_BATCH };
        for number in 1..=OF_A_BATCH {
            let state = if number <= eaten { "finished" } else { "sealed" };
            let jar = at * OF_A_BATCH + number;
            self.insert_jar
                .execute(params![
                    jar,
                    id,
                    number,
                    at % LID_LOTS + 1,
                    best_by.to_string(),
                    at % PLACES + 1,
                    state
                ])
                .unwrap();
        }
        let jars = |most: u32| (1..=most).map(move |number| at * OF_A_BATCH + number);
        let checked = put_up + Days::new(1);
        self.entry("seal", checked, 36_000);
        for jar in jars(OF_A_BATCH) {
            self.event(jar, ("check-sealed", "cooling", "sealed"), checked, 36_000);
            self.insert_check.execute(params![self.event, jar]).unwrap();
        }
        for jar in jars(eaten) {
            let opened = if is_late { checked } else { put_up + Days::new(u64::from(jar % 300) + 2) };
            self.entry("open", opened, 64_800);
            self.event(jar, ("open", "sealed", "opened"), opened, 64_800);
        }
        let finished = if is_late { checked + Days::new(1) } else { put_up + Days::new(320) };
        self.entry("finish", finished, 72_000);
        for jar in jars(eaten) {
            self.event(jar, ("finish", "opened", "finished"), finished, 72_000);
        }
    }
}

/// A CSV of so many jars of a shelf, in batches of ten; made once.
pub fn shelf_csv(jars: u32) -> PathBuf {
    let file = folder().join(format!("shelf-{jars}.csv"));
    if file.exists() {
        return file;
    }
    let mut out = BufWriter::new(fs::File::create(&file).unwrap());
    writeln!(out, "product,put_up,jar,place,best_by,food,pack,note").unwrap();
    for jar in 0..jars {
        let batch = jar / OF_A_BATCH;
        let put_up = day(TODAY) - Days::new(u64::from(batch % 360) + 1);
        let best_by = put_up + Days::new(365);
        let (product, place) = (batch % PRODUCTS, batch / 360 % PLACES);
        writeln!(out, "Food {product:02},{put_up},pint,Place {place},{best_by},green-beans,hot,as counted")
            .unwrap();
    }
    out.flush().unwrap();
    file
}

/// A ledger of so many jars that all stand on the shelf, as imported; made once.
pub fn shelf(jars: u32) -> PathBuf {
    let ledger = folder().join(format!("shelf-{jars}.jarledger"));
    if ledger.exists() {
        return ledger;
    }
    let making = folder().join("making.jarledger");
    let _ = fs::remove_file(&making);
    must(&mut jarledger(&making, &["setup", "--altitude", "850ft"]));
    let csv = shelf_csv(jars);
    must(&mut jarledger(&making, &["import", &csv.display().to_string()]));
    fs::rename(&making, &ledger).unwrap();
    ledger
}
