//! What is fed with bytes: each target panics where the program does something it must never do.
//!
//! The test binary beside this file runs them on stable with bytes of its own; the binaries in
//! `fuzz_targets` run them under a fuzzer that is led by coverage.

#![allow(dead_code, reason = "each fuzzer feeds one of them")]

use std::fs;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use jarledger::exchange::shelf::columns::ColumnChoice;
use jarledger::exchange::shelf::day::DateOrder;
use jarledger::exchange::shelf::decode::Encoding;
use jarledger::exchange::shelf::shelf_csv::{Reading, read_shelf};
use jarledger::ledger::error::LedgerError;
use jarledger::ledger::file::open::Ledger;
use jarledger::ledger::jar::live::Which;
use jarledger::page::form::Form;
use jarledger::tables::foods;
use jarledger::values::codes::count_line::read_line;
use jarledger::values::codes::jar_code::{BatchCode, JarCode};
use jarledger::values::codes::jar_list::JarList;
use jarledger::values::codes::jar_word::JarWord;
use jarledger::values::codes::load_code::LoadCode;
use rusqlite::Connection;

fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 9, 1).unwrap()
}

/// A CSV to import: rows are only handed over while nothing is wrong, each problem has its line in
/// the file, and the same bytes give the same answer.
pub(crate) fn shelf_csv(bytes: &[u8]) {
    let choice = ColumnChoice::default();
    for (encoding, raw) in [(None, false), (Some(Encoding::Latin1), true)] {
        let reading = Reading {
            columns: &choice,
            encoding,
            delimiter: None,
            dates: DateOrder::Iso,
            today: today(),
            acidity: &|food| foods::get(food).map(|food| Some(food.acidity)),
            vouched: None,
            raw,
        };
        let read = || {
            let mut rows = 0_usize;
            let outcome = read_shelf(bytes, &reading, |row| {
                rows += 1;
                assert!(row.put_up <= today() && row.count.is_none_or(|count| (1..=10_000).contains(&count)));
                Ok(())
            });
            (rows, outcome.expect("nothing was written"))
        };
        let (rows, outcome) = read();
        let ends = bytes.iter().filter(|byte| matches!(byte, b'\n' | b'\r')).count();
        assert!(rows <= ends + 1, "{rows} rows of {ends} line ends");
        if let Err(problems) = &outcome {
            assert!(problems.count >= problems.kept.len() && !problems.kept.is_empty());
            for problem in &problems.kept {
                assert!(problem.line.is_none_or(|line| (1..=ends as u64 + 1).contains(&line)), "{problem}");
                let _ = problem.to_string();
            }
        }
        let again = read();
        assert_eq!((rows, outcome.is_ok()), (again.0, again.1.is_ok()));
    }
}

/// Codes, lists of jars and lines of a count: refused, or read and written so that they are read again as the same.
pub(crate) fn codes(bytes: &[u8]) {
    fn there_and_back<T>(text: &str)
    where
        T: std::str::FromStr + std::fmt::Display + PartialEq + std::fmt::Debug,
        T::Err: std::fmt::Display,
    {
        match text.parse::<T>() {
            Ok(read) => assert_eq!(read.to_string().parse::<T>().ok(), Some(read), "{text:?}"),
            Err(error) => drop(error.to_string()),
        }
    }
    let text = String::from_utf8_lossy(bytes);
    there_and_back::<JarCode>(&text);
    there_and_back::<BatchCode>(&text);
    there_and_back::<LoadCode>(&text);
    there_and_back::<JarList>(&text);
    let _ = text.parse::<JarWord>();
    let _ = read_line(&text);
}

/// A form as a browser may write it: every field is read as it is written again, and what is no field of ours is none.
pub(crate) fn form(bytes: &[u8]) {
    let form = Form::read(bytes);
    for name in ["key", "age", "step", "run", "seen", "jar-1", ""] {
        let all = form.all(name);
        let said = all.iter().map(|value| value.trim()).find(|value| !value.is_empty());
        assert_eq!(form.get(name), said);
        if let Some(number) = name.strip_prefix("jar-") {
            let found = form.beginning("jar-").find(|(found, _)| *found == number);
            assert_eq!(found.map(|found| found.1), all.first().map(|value| value.trim()));
        }
        for value in all {
            let escaped = |text: &str| text.bytes().map(|byte| format!("%{byte:02X}")).collect::<String>();
            let written = format!("{}={}", escaped(name), escaped(value));
            assert_eq!(Form::read(written.as_bytes()).all(name), std::slice::from_ref(value));
        }
    }
}

/// A small ledger as bytes, made from what the oldest release wrote.
pub(crate) fn small_ledger(folder: &Path) -> Vec<u8> {
    let path = folder.join("small.jarledger");
    let conn = Connection::open(&path).unwrap();
    conn.execute_batch(include_str!("../../fixtures/schema/v2.0.sql")).unwrap();
    drop(conn);
    let bytes = fs::read(&path).unwrap();
    fs::remove_file(path).unwrap();
    bytes
}

/// What a reading of the ledger says that a person would act on.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Answer {
    jars: usize,
    ever: i64,
    batches: usize,
    history: usize,
    on_hold: usize,
    stock: usize,
}

fn answer(ledger: &Ledger) -> Result<Answer, LedgerError> {
    let live = ledger.live_jars(&Which::default())?;
    let shelf = ledger.shelf(&Which::default(), today())?;
    let _ = ledger.appetites(today())?;
    let mut batches = 0;
    ledger.each_batch(|_| {
        batches += 1;
        Ok::<(), LedgerError>(())
    })?;
    Ok(Answer {
        jars: live.len(),
        ever: ledger.extent()?.jars,
        batches,
        history: ledger.history(10_000)?.len(),
        on_hold: live.iter().filter(|jar| !jar.holds.is_empty()).count(),
        stock: shelf.len(),
    })
}

/// Opening a damaged ledger: the bytes say what is done to a whole one.
pub(crate) struct Damage {
    whole: Vec<u8>,
    right: Answer,
    path: PathBuf,
}

/// How a damaged ledger was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Taken {
    /// Opening or reading it ended in an error.
    Refused,
    /// Every count was right.
    Right,
    /// A count was wrong, and `check` says that the ledger is not whole.
    FoundByCheck,
}

impl Damage {
    pub(crate) fn new(folder: &Path) -> Self {
        let whole = small_ledger(folder);
        let path = folder.join("damaged.jarledger");
        fs::write(&path, &whole).unwrap();
        let right = answer(&Ledger::open(&path).unwrap()).unwrap();
        assert!(right.jars > 10 && right.batches > 5 && right.history > 20, "{right:?}");
        Self { whole, right, path }
    }

    /// Does what `bytes` say, eight at a time: what, where and with what.
    fn damaged(&self, bytes: &[u8]) -> Vec<u8> {
        let mut file = self.whole.clone();
        for step in bytes.chunks(8).take(16) {
            let mut part = [0; 8];
            part[..step.len()].copy_from_slice(step);
            let [what, a, b, c, d, e, f, g] = part;
            if file.is_empty() {
                break;
            }
            let place = u32::from_be_bytes([0, a, b, c]) as usize;
            let other = u32::from_be_bytes([0, d, e, f]) as usize;
            let pages = (file.len() / 4096).max(1);
            let page = |which: usize| (which % pages) * 4096;
            let at = place % file.len();
            match what % 8 {
                0 => file[at] ^= 1 << (g % 8),
                1 => file[at] = g,
                // The heads of pages, where their cells are counted and pointed at.
                2 => {
                    let at = (page(place) + other % 64) % file.len();
                    file[at] = g;
                }
                3 if pages > 1 => {
                    let (one, two) = (page(place), page(other));
                    for byte in 0..4096.min(file.len() - one).min(file.len() - two) {
                        file.swap(one + byte, two + byte);
                    }
                }
                4 => file.truncate(at),
                // The header.
                5 => {
                    let header = file.len().min(100);
                    file[at % header] = g;
                }
                6 => {
                    let end = (page(place) + 4096).min(file.len());
                    file[page(place)..end].fill(g);
                }
                _ => file.extend(std::iter::repeat_n(g, other % 9000)),
            }
        }
        file
    }

    /// Opens the ledger so damaged and reads it.
    pub(crate) fn open(&self, bytes: &[u8]) -> Taken {
        let damaged = self.damaged(bytes);
        fs::write(&self.path, &damaged).unwrap();
        let _ = fs::remove_file(self.path.with_extension("jarledger-journal"));
        let taken = self.take();
        assert!(fs::read(&self.path).unwrap() == damaged, "reading changed the file");
        taken
    }

    fn take(&self) -> Taken {
        let Ok(ledger) = Ledger::open(&self.path) else { return Taken::Refused };
        let said = answer(&ledger);
        let checked = ledger.check();
        let Ok(said) = said else { return Taken::Refused };
        if said == self.right {
            return Taken::Right;
        }
        let whole = checked.is_ok_and(|checked| checked.problems.is_empty());
        assert!(!whole, "a wrong count that `check` does not find: {said:?} for {:?}", self.right);
        Taken::FoundByCheck
    }
}
