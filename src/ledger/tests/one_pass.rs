//! Answers about the whole shelf are read in one pass, however many products and jars there are.

use std::cell::Cell;

use chrono::NaiveDate;
use rusqlite::trace::{TraceEvent, TraceEventCodes};
use tempfile::TempDir;
use uuid::Uuid;

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::live::Which;
use crate::values::time::clock::Clock;

type Read = fn(&Ledger) -> Result<usize, LedgerError>;

fn today() -> NaiveDate {
    "2026-11-25".parse().unwrap()
}

/// A ledger of so many sealed jars in batches of ten, spread over so many products; every tenth jar was opened.
fn shelf(products: u32, jars: u32) -> (TempDir, Ledger) {
    let folder = TempDir::new().unwrap();
    let clock = Clock { now: "2026-11-25T12:00:00+00:00".parse().unwrap() };
    let ledger = Ledger::create(&folder.path().join("ledger"), Uuid::nil(), clock).unwrap();
    ledger
        .write("fill", clock, |write| {
            write.conn.execute_batch(&format!(
                "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < {products})
                 INSERT INTO product (id, name, name_key) SELECT i, printf('Food %05d', i), printf('food %05d', i) FROM n;
                 WITH RECURSIVE n(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM n WHERE i < {jars} / 10 - 1)
                 INSERT INTO batch (id, entry_id, year, number, product_id, put_up)
                 SELECT i + 1, {entry}, 26, i + 1, i % {products} + 1, date('2026-01-01', (i % 300) || ' days') FROM n;
                 WITH RECURSIVE n(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM n WHERE i < {jars} - 1)
                 INSERT INTO jar (id, batch_id, number, size, best_by, born, state)
                 SELECT i + 1, i / 10 + 1, i % 10 + 1, 'pint', date('2027-01-01', (i / 10 % 300) || ' days'), 'sealed', 'sealed'
                 FROM n;
                 INSERT INTO event (jar_id, entry_id, act, from_state, to_state, at, at_offset, on_date)
                 SELECT id, {entry}, 'open', 'sealed', 'opened', 0, 0, '2026-11-01' FROM jar WHERE number = 10;",
                entry = write.entry.0,
            ))?;
            Ok(((), "filled".to_owned()))
        })
        .unwrap();
    (folder, ledger)
}

thread_local! {
    static STATEMENTS: Cell<u32> = const { Cell::new(0) };
}

/// Statements run by a reading that finds so many things.
fn statements(ledger: &mut Ledger, read: Read, found: usize) -> u32 {
    STATEMENTS.set(0);
    let count: fn(TraceEvent<'_>) = |_| STATEMENTS.set(STATEMENTS.get() + 1);
    ledger.conn.trace_v2(TraceEventCodes::SQLITE_TRACE_STMT, Some(count)).unwrap();
    assert_eq!(read(ledger).unwrap(), found);
    ledger.conn.trace_v2(TraceEventCodes::empty(), None::<fn(TraceEvent<'_>)>).unwrap();
    STATEMENTS.get()
}

#[test]
fn a_hundred_thousand_jars_of_five_hundred_products_take_no_more_statements_than_ten() {
    let (_folder, mut large) = shelf(500, 100_000);
    let (_folder, mut small) = shelf(1, 10);
    let read: [(&str, Read, usize); 4] = [
        ("live jars", |ledger| Ok(ledger.live_jars(&Which::default())?.len()), 100_000),
        ("appetites", |ledger| Ok(ledger.appetites(today())?.len()), 500),
        ("last loads", |ledger| Ok(ledger.last_loads()?.len()), 500),
        ("jars in the refrigerator", |ledger| Ok(ledger.in_refrigerator(today())?.len()), 10_000),
    ];
    for (what, read, found) in read {
        let ran = statements(&mut large, read, found);
        let of_ten = if found == 100_000 { 10 } else { 1 };
        assert_eq!(ran, statements(&mut small, read, of_ten), "{what}");
        // A transaction's beginning and end, the jars, the holds on them.
        assert!((1..=4).contains(&ran), "{what}: {ran} statements");
    }
}
