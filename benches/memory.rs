//! The most memory each command takes, at a million jars: in a household that has eaten nearly all of them, and with
//! all of them on the shelf.
//!
//! ```text
//! cargo bench --bench memory
//! JARS=100000 ONLY=trace cargo bench --bench memory
//! ```

#![allow(clippy::unwrap_used, reason = "a measurement stops where it cannot go on")]

mod kitchen;

use std::fs;
use std::path::Path;
use std::process::Command;

use kitchen::measure::{millis, peak};
use kitchen::{folder, household, jarledger, must, shelf, shelf_csv};

/// A command line; `BATCH` stands for the last batch, `IN` for its entry, `DIR` for the folder of measurements.
/// One that begins with `+` writes, and gets a copy.
const BOTH: &str = "
jar BATCH 9
batch BATCH
batch
batch --json
eat
eat --ahead 12 --json
shelf
shelf --jars
shelf --jars --json
trace BATCH
trace --from 2000-01-01
trace --from 2000-01-01 --json
season
history
history --entry IN
label --batch BATCH --out DIR/out.pdf
label --card Place_1 --out DIR/out.pdf
report --out DIR/out.html
calendar --out DIR/out.ics
count Place_1 DIR/seen.txt
export --json
export --out DIR/out.csv
doctor
check
+open BATCH 9
+trace --from 2000-01-01 --hold a_test
+correct batch BATCH --note told --reason a_test
+backup";

const OF_HOUSEHOLD: &str = "
trace --canner Dial
trace --lid-lot Lot_07
+gauge Dial --reads 10 --true 8.5";

const OF_SHELF: &str = "
+undo IN";

fn told(sql: &str, ledger: &Path) -> String {
    let ran = must(Command::new("sqlite3").args(["-batch", "-init", "/dev/null"]).arg(ledger).arg(sql));
    String::from_utf8(ran.stdout).unwrap().trim().to_owned()
}

fn main() {
    let jars: u32 = std::env::var("JARS").map_or(1_000_000, |jars| jars.parse().unwrap());
    let only = std::env::var("ONLY").unwrap_or_default();
    let dir = folder();
    println!("{:>9} {:>9}  command", "peak MiB", "ms");
    let line = |what: &str, command: &mut Command| {
        let (took, most) = peak(command);
        println!("{most:9.1} {:9.0}  {what}", millis(took));
    };
    for (what, ledger, own) in
        [("eaten", household(jars), OF_HOUSEHOLD), ("on the shelf", shelf(jars), OF_SHELF)]
    {
        println!("{jars} jars, {what}:");
        let batch =
            told("SELECT printf('%02d-%03d', year, number) FROM batch ORDER BY id DESC LIMIT 1", &ledger);
        let entry = told(
            "SELECT id FROM entry WHERE command IN ('putup', 'import') ORDER BY id DESC LIMIT 1",
            &ledger,
        );
        fs::write(dir.join("seen.txt"), format!("{batch} 9\n")).unwrap();
        for given in BOTH.lines().chain(own.lines()).filter(|line| !line.is_empty() && line.contains(&only)) {
            for out in ["out.pdf", "out.html", "out.ics"] {
                let _ = fs::remove_file(dir.join(out));
            }
            let _ = fs::remove_dir_all(dir.join("out.csv"));
            let (writes, words) = given.strip_prefix('+').map_or((false, given), |words| (true, words));
            let words: Vec<String> = words
                .split(' ')
                .map(|word| word.replace('_', " ").replace("DIR", &dir.display().to_string()))
                .map(|word| word.replace("BATCH", &batch).replace("IN", &entry))
                .collect();
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            let copy = dir.join("copy.jarledger");
            if writes {
                fs::copy(&ledger, &copy).unwrap();
            }
            line(given, &mut jarledger(if writes { &copy } else { &ledger }, &words));
            if writes {
                fs::remove_file(&copy).unwrap();
                let _ = fs::remove_dir_all(dir.join("copy-backups"));
            }
        }
    }
    let new = dir.join("new.jarledger");
    must(&mut jarledger(&new, &["setup", "--altitude", "850ft"]));
    let csv = shelf_csv(jars).display().to_string();
    line("import", &mut jarledger(&new, &["import", &csv]));
    fs::remove_file(new).unwrap();
}
