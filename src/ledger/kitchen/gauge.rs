//! Tests of dial gauges.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use rusqlite::params;

use crate::ledger::batch::rejudged::Rejudged;
use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::canner::Canner;
use crate::ledger::schema::row::date;
use crate::rules::gauge::dial_gauge::{GaugeAdvice, GaugePoint, GaugeTest, needs_testing};
use crate::rules::gauge::gauge_history::tests_in_force;
use crate::values::measures::pressure::Pressure;
use crate::values::time::on_screen;

/// A gauge test on record.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct RecordedTest {
    /// What it found.
    pub test: GaugeTest,
    /// Anything worth keeping.
    pub note: Option<String>,
}

impl RecordedTest {
    /// Keep, correct or replace.
    pub fn advice(&self) -> GaugeAdvice {
        self.test.advice()
    }
}

impl Ledger {
    /// The tests of a canner's gauge, oldest first.
    pub(crate) fn gauge_tests(&self, canner: &Canner) -> Result<Vec<RecordedTest>, LedgerError> {
        self.gauge_tests_of(canner.id)
    }

    pub(in crate::ledger) fn gauge_tests_of(&self, canner_id: i64) -> Result<Vec<RecordedTest>, LedgerError> {
        let mut statement = self.conn.prepare_cached(
            "SELECT t.id, t.on_date, t.new_gauge, t.note, p.reads, p.actual
             FROM gauge_test t
             JOIN entry n ON n.id = t.entry_id AND n.effective = 1
             JOIN gauge_point p ON p.gauge_test_id = t.id
             WHERE t.canner_id = ?1
             ORDER BY t.on_date, t.id, p.reads, p.actual",
        )?;
        let mut rows = statement.query([canner_id])?;
        let mut gathered: Vec<Gathered> = Vec::new();
        while let Some(row) = rows.next()? {
            let id: i64 = row.get("id")?;
            if gathered.last().is_none_or(|last| last.id != id) {
                gathered.push(Gathered {
                    id,
                    on: date(row, "on_date")?,
                    new_gauge: row.get("new_gauge")?,
                    note: row.get("note")?,
                    points: Vec::new(),
                });
            }
            if let Some(last) = gathered.last_mut() {
                last.points.push(GaugePoint {
                    reads: Pressure::from_centi_psi(row.get("reads")?),
                    truly: Pressure::from_centi_psi(row.get("actual")?),
                });
            }
        }
        gathered.into_iter().map(Gathered::into_test).collect()
    }
}

/// Whether two tests found the same, in whatever order the readings were entered.
fn same(one: &GaugeTest, other: &GaugeTest) -> bool {
    let readings = |test: &GaugeTest| -> BTreeSet<(Pressure, Pressure)> {
        test.points().iter().map(|point| (point.reads, point.truly)).collect()
    };
    let about = |test: &GaugeTest| (test.date(), test.is_of_new_gauge());
    about(one) == about(other) && readings(one) == readings(other)
}

/// The rows of one test.
struct Gathered {
    id: i64,
    on: NaiveDate,
    new_gauge: bool,
    note: Option<String>,
    points: Vec<GaugePoint>,
}

impl Gathered {
    fn into_test(self) -> Result<RecordedTest, LedgerError> {
        let (reads, truly): (Vec<_>, Vec<_>) =
            self.points.iter().map(|point| (point.reads, point.truly)).unzip();
        let test = GaugeTest::new(self.on, self.new_gauge, &reads, &truly)
            .map_err(|error| LedgerError::Unreadable(format!("gauge test of {}: {error}", self.on)))?;
        Ok(RecordedTest { test, note: self.note })
    }
}

impl Write<'_> {
    /// Records a test of a canner's dial gauge and judges anew every load it has a bearing on.
    ///
    /// # Errors
    /// [`LedgerError::Refused`] for a canner without a dial gauge.
    pub(crate) fn test_gauge(&self, canner: &Canner, new: &RecordedTest) -> Result<Rejudged, LedgerError> {
        let tests = |ledger: &Ledger| -> Result<Vec<GaugeTest>, LedgerError> {
            Ok(ledger.gauge_tests(canner)?.into_iter().map(|recorded| recorded.test).collect())
        };
        let before = tests(self)?;
        if before.iter().any(|known| same(known, &new.test)) {
            return Err(LedgerError::Refused {
                what: format!(
                    "this test of {} on {} is on record already",
                    canner.name,
                    on_screen::day(new.test.date())
                ),
                hint: "see `jarledger gauge CANNER --list`".to_owned(),
            });
        }
        self.insert_gauge_test(canner, new)?;
        let after = tests(self)?;
        let mut loads = self.loads_of_canner(canner.id)?;
        loads.retain(|&(_, day)| tests_in_force(&before, day) != tests_in_force(&after, day));
        self.rejudge(loads.into_iter().map(|(load, _)| load))
    }

    /// Records a test of a canner's dial gauge, without judging anything anew.
    fn insert_gauge_test(&self, canner: &Canner, new: &RecordedTest) -> Result<(), LedgerError> {
        needs_testing(canner.method).map_err(|error| LedgerError::Refused {
            what: format!("{}: {error}", canner.name),
            hint: "see `jarledger canner list` for the canners with a dial gauge".to_owned(),
        })?;
        self.conn.execute(
            "INSERT INTO gauge_test (entry_id, canner_id, on_date, new_gauge, note) VALUES (?1, ?2, ?3, ?4, ?5)",
            params![
                self.entry.0,
                canner.id,
                new.test.date().to_string(),
                new.test.is_of_new_gauge(),
                new.note
            ],
        )?;
        let test_id = self.conn.last_insert_rowid();
        // The same pair read twice says nothing more.
        let mut insert = self.conn.prepare_cached(
            "INSERT OR IGNORE INTO gauge_point (gauge_test_id, reads, actual) VALUES (?1, ?2, ?3)",
        )?;
        for point in new.test.points() {
            insert.execute(params![test_id, point.reads.centi_psi(), point.truly.centi_psi()])?;
        }
        Ok(())
    }
}
