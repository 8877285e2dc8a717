//! Whole commands beside the sqlite3 shell running the least SQL that answers the same on the same file.
//!
//! ```text
//! cargo bench --bench commands              # ledgers of 1,000, 100,000 and 1,000,000 jars
//! JARS=1000 ROUNDS=5 cargo bench --bench commands
//! ```
//!
//! Both sides run by turns in one run, so that a busy machine is busy for both; what counts is the ratio of medians.
//! Writing is durable on both sides: `journal_mode=DELETE`, `synchronous=EXTRA`, `BEGIN IMMEDIATE`.

#![allow(clippy::unwrap_used, reason = "a measurement stops where it cannot go on")]

mod kitchen;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Duration;

use kitchen::measure::{median, millis, peak, time};
use kitchen::{EATEN_OF_LATE, OF_A_BATCH, folder, household, jarledger, must, program, put_up};

/// What one round runs on one side.
type Side<'s> = &'s dyn Fn(usize) -> Command;

fn shell(ledger: &Path, sql: &str) -> Command {
    let mut command = Command::new("sqlite3");
    command.env_clear().env("HOME", folder()).args(["-batch", "-init", "/dev/null"]).arg(ledger).arg(sql);
    command
}

struct Measured {
    what: &'static str,
    ours: Duration,
    theirs: Duration,
    most: f64,
}

/// Runs both sides by turns.
fn beside(what: &'static str, rounds: usize, ours: Side<'_>, theirs: Side<'_>) -> Measured {
    let (mut our_times, mut their_times) = (Vec::new(), Vec::new());
    let mut most = 0.0_f64;
    for round in 0..rounds {
        // Neither side always comes second.
        if round % 2 == 0 {
            our_times.push(time(&mut ours(round)));
            their_times.push(time(&mut theirs(round)));
        } else {
            their_times.push(time(&mut theirs(round)));
            our_times.push(time(&mut ours(round)));
        }
    }
    for round in rounds..rounds + 3 {
        most = most.max(peak(&mut ours(round)).1);
    }
    Measured { what, ours: median(our_times), theirs: median(their_times), most }
}

const JAR: &str = "
    SELECT b.year, b.number, j.number, p.name, j.size, b.put_up, j.best_by, j.state, j.held, l.name, b.food, t.name,
           o.minutes, o.pressure, o.verdict, o.findings
    FROM jar j JOIN batch b ON b.id = j.batch_id JOIN product p ON p.id = b.product_id
    LEFT JOIN place l ON l.id = j.place_id LEFT JOIN lid_lot t ON t.id = j.lid_lot_id LEFT JOIN load o ON o.id = j.load_id
    WHERE b.year = 26 AND b.number = :batch AND j.number = 9;
    SELECT v.at, v.act, v.from_state, v.to_state, s.test, v.who, v.why
    FROM event v JOIN entry n ON n.id = v.entry_id AND n.effective = 1 LEFT JOIN seal_check s ON s.event_id = v.id
    WHERE v.jar_id = (SELECT j.id FROM jar j JOIN batch b ON b.id = j.batch_id
                      WHERE b.year = 26 AND b.number = :batch AND j.number = 9) ORDER BY v.id;
    SELECT h.reason FROM hold h JOIN entry n ON n.id = h.entry_id AND n.effective = 1
    WHERE h.jar_id = (SELECT j.id FROM jar j JOIN batch b ON b.id = j.batch_id
                      WHERE b.year = 26 AND b.number = :batch AND j.number = 9);";

const LIVE: &str = "j.state IN ('cooling', 'sealed', 'unsealed', 'chilled', 'frozen', 'opened', 'missing')";

/// The jars due by the end of the month, what is left of each product by month, and whatever is not plainly sealed.
fn eat_sql() -> String {
    format!(
        "SELECT p.name, substr(j.best_by, 1, 7), count(*) FROM jar j JOIN batch b ON b.id = j.batch_id
         JOIN product p ON p.id = b.product_id WHERE {LIVE} AND j.state = 'sealed' AND j.held = 0 GROUP BY 1, 2;
         SELECT b.year, b.number, j.number, p.name, j.size, b.put_up, j.best_by, j.state, l.name
         FROM jar j JOIN batch b ON b.id = j.batch_id JOIN product p ON p.id = b.product_id
         LEFT JOIN place l ON l.id = j.place_id
         WHERE {LIVE} AND (j.state <> 'sealed' OR j.held = 1 OR j.best_by <= '2027-01-10')
         ORDER BY p.name_key, j.best_by, b.put_up, b.year, b.number, j.number;"
    )
}

fn shelf_sql() -> String {
    format!(
        "SELECT count(*), p.name, j.size, j.state, j.held, l.name, min(j.best_by), sum(j.best_by < '2026-11-25')
         FROM jar j JOIN batch b ON b.id = j.batch_id JOIN product p ON p.id = b.product_id
         LEFT JOIN place l ON l.id = j.place_id WHERE {LIVE}
         GROUP BY p.id, j.size, j.state, j.held, l.id ORDER BY p.name_key;"
    )
}

/// The settings every durable write begins with.
const DURABLE: &str = "PRAGMA foreign_keys = ON; PRAGMA synchronous = EXTRA; PRAGMA journal_mode = DELETE;";

const ENTRY: &str = "INSERT INTO entry (id, uuid, command, at, at_offset, on_date)
    SELECT max(id) + 1, lower(hex(randomblob(18))), 'measured', 0, 0, '2026-11-25' FROM entry;";

const SUMMARY: &str = "UPDATE entry SET summary = 'measured' WHERE id = (SELECT max(id) FROM entry);";

fn open_sql(jar: &str) -> String {
    format!(
        "{DURABLE} BEGIN IMMEDIATE; {ENTRY}
         INSERT INTO event (jar_id, entry_id, act, from_state, to_state, at, at_offset, on_date)
         SELECT j.id, (SELECT max(id) FROM entry), 'open', 'sealed', 'opened', 0, 0, '2026-11-25'
         FROM jar j JOIN batch b ON b.id = j.batch_id WHERE {jar}; {SUMMARY} COMMIT;"
    )
}

fn putup_sql(last_year: u8) -> String {
    let jars: String = (1..=7)
        .map(|number| {
            format!(
                "INSERT INTO jar (batch_id, number, size, load_id, lid_lot_id, best_by, born, born_place_id, state, place_id)
                 SELECT max(batch_id), {number}, 'pint', max(id), 1, '2027-11-25', 'cooling', 1, 'cooling', 1 FROM load;"
            )
        })
        .collect();
    format!(
        "{DURABLE} BEGIN IMMEDIATE; {ENTRY}
         INSERT INTO batch (entry_id, year, number, product_id, food, acidity, pack, put_up)
         SELECT (SELECT max(id) FROM entry), {last_year}, max(number) + 1, 1, 'green-beans', NULL, 'hot', '2026-11-25'
         FROM batch WHERE year = {last_year};
         INSERT INTO load (batch_id, number, canner_id, altitude, pressure, pressure_entered, minutes, vent_min,
                           come_up_min, out_at, out_offset, findings)
         SELECT max(id), 1, 1, '850ft', 1200, '12', 20, 10, 6, 0, 0, '[]' FROM batch; {jars}
         INSERT INTO judgement (load_id, entry_id, verdict, findings)
         SELECT max(id), (SELECT max(id) FROM entry), 'meets', '[]' FROM load; {SUMMARY} COMMIT;"
    )
}

/// A step of a run, by turns reached and lost.
fn step_sql(step: &str) -> String {
    format!(
        "{DURABLE} BEGIN IMMEDIATE; {ENTRY}
         INSERT INTO run_step (run_id, entry_id, step, at, at_offset)
         SELECT 1, (SELECT max(id) FROM entry), '{step}', 0, 0; {SUMMARY} COMMIT;"
    )
}

/// A copy to write into.
fn copy(ledger: &Path, name: &str) -> PathBuf {
    let copy = folder().join(name);
    fs::copy(ledger, &copy).unwrap();
    // What is still to be written back would slow down whoever comes first.
    fs::File::open(&copy).unwrap().sync_all().unwrap();
    copy
}

fn measure(jars: u32, rounds: usize) -> Vec<Measured> {
    let ledger = household(jars);
    let last = must(&mut shell(&ledger, "SELECT max(number) FROM batch WHERE year = 26"));
    let last: usize = String::from_utf8(last.stdout).unwrap().trim().parse().unwrap();
    let code = format!("26-{last:03}");
    let jar_sql = JAR.replace(":batch", &last.to_string());
    let mut measured = vec![
        beside("jar", rounds, &|_| jarledger(&ledger, &["jar", &code, "9"]), &|_| shell(&ledger, &jar_sql)),
        beside("eat", rounds, &|_| jarledger(&ledger, &["eat"]), &|_| shell(&ledger, &eat_sql())),
        beside("shelf", rounds, &|_| jarledger(&ledger, &["shelf"]), &|_| shell(&ledger, &shelf_sql())),
    ];
    let (ours, theirs) = (copy(&ledger, "ours.jarledger"), copy(&ledger, "theirs.jarledger"));
    // Each round opens a jar that no round before it opened.
    let left = (OF_A_BATCH - EATEN_OF_LATE) as usize;
    let jar = |round: usize| (last - 1 - round / left, EATEN_OF_LATE as usize + 1 + round % left);
    measured.push(beside(
        "open",
        rounds,
        &|round| {
            let (batch, number) = jar(round);
            jarledger(&ours, &["open", &format!("26-{batch:03}"), &number.to_string()])
        },
        &|round| {
            let (batch, number) = jar(round);
            shell(&theirs, &open_sql(&format!("b.year = 26 AND b.number = {batch} AND j.number = {number}")))
        },
    ));
    measured.push(beside("putup", rounds, &|_| jarledger(&ours, &put_up("pint:7")), &|_| {
        shell(&theirs, &putup_sql(26))
    }));
    for copy in [&ours, &theirs] {
        let begin =
            ["run", "begin", "--canner", "Dial", "--food", "green-beans", "--pack", "hot", "--jar", "pint"];
        must(&mut jarledger(copy, &begin));
        for step in ["heat", "steam", "closed"] {
            must(&mut jarledger(copy, &["run", "step", step]));
        }
    }
    // Pressure is reached and lost by turns, as often as it takes; three rounds more measure memory.
    let step = |round: usize| if round.is_multiple_of(2) { "reached" } else { "lost" };
    measured.push(beside(
        "run step",
        rounds,
        &|round| jarledger(&ours, &["run", "step", step(round)]),
        &|round| shell(&theirs, &step_sql(step(round))),
    ));
    for copy in [ours, theirs] {
        fs::remove_file(copy).unwrap();
    }
    measured
}

fn main() {
    let number = |name: &str| std::env::var(name).ok().and_then(|given| given.parse().ok());
    let rounds = number("ROUNDS").unwrap_or(41) as usize;
    let sizes = number("JARS").map_or(vec![1_000, 100_000, 1_000_000], |jars| vec![jars]);
    println!("medians of {rounds} rounds, both sides by turns; memory is the most of three more");
    println!(
        "{:>9}  {:9} {:>12} {:>12} {:>6} {:>9}",
        "jars", "command", "jarledger ms", "sqlite3 ms", "ratio", "peak MiB"
    );
    let line = |jars: &str, of: &Measured| {
        let ratio = of.ours.as_secs_f64() / of.theirs.as_secs_f64();
        println!(
            "{jars:>9}  {:9} {:12.2} {:12.2} {ratio:6.2} {:9.1}",
            of.what,
            millis(of.ours),
            millis(of.theirs),
            of.most
        );
    };
    let mut smallest: Vec<Measured> = Vec::new();
    for jars in sizes {
        let measured = measure(jars, rounds);
        measured.iter().for_each(|of| line(&jars.to_string(), of));
        if smallest.is_empty() {
            smallest = measured;
            continue;
        }
        let grown = |now: &Measured, then: &Measured| now.ours.as_secs_f64() / then.ours.as_secs_f64();
        let told: Vec<String> = measured
            .iter()
            .zip(&smallest)
            .map(|(now, then)| format!("{} {:.2}", now.what, grown(now, then)))
            .collect();
        println!("{jars:>9}  times that of the smallest ledger: {}", told.join(", "));
    }
    let version = beside("--version", rounds, &|_| jarledger(Path::new(""), &["--version"]), &|_| {
        Command::new("/bin/true")
    });
    println!("beside /bin/true instead of sqlite3:");
    line("-", &version);
    println!("program: {:.1} MB", fs::metadata(program()).unwrap().len() as f64 / 1e6);
}
