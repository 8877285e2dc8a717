//! A household at work: a ledger on disk, its clock, and what may be done in it.
//!
//! What a test does not say is what every batch has: hot pack, out now, kept in the cellar.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};
use rusqlite::types::Value;

use crate::ledger::amend::correct::{Amendment, Corrected};
use crate::ledger::amend::undo::Undone;
use crate::ledger::batch::judging::Judging;
use crate::ledger::batch::load_facts::LoadFacts;
use crate::ledger::batch::put_up::{NewBatch, NewLoad};
use crate::ledger::batch::rejudged::Rejudged;
use crate::ledger::check::report::Problem;
use crate::ledger::entry::correct_field::Field;
use crate::ledger::entry::write::{EntryId, Write};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::acts::Happened;
use crate::ledger::jar::event::Particulars;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::hold::{Hold, HoldCause};
use crate::ledger::jar::seal::{Checked, SealLook};
use crate::ledger::kitchen::canner::NewCanner;
use crate::ledger::kitchen::gauge::RecordedTest;
use crate::ledger::trace::query::TraceQuery;
use crate::ledger::trace::traced::TracedJar;
use crate::rules::gauge::dial_gauge::GaugeTest;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::jar::permit::When;
use crate::values::codes::jar_code::BatchCode;
use crate::values::codes::load_code::LoadCode;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Method, Pack};
use crate::values::kinds::seal_test::SealTest;
use crate::values::measures::pressure::Pressure;
use crate::values::time::clock::Clock;

/// The canners of [`Household::new`].
pub(in crate::ledger) const CANNERS: [&str; 2] = ["Big dial", "Small dial"];

pub(crate) struct Household {
    _folder: tempfile::TempDir,
    pub(crate) ledger: Ledger,
    pub(crate) clock: Clock,
}

/// An instant of UTC, written like `2026-08-14T16:40`.
pub(crate) fn instant(text: &str) -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339(&format!("{text}:00+00:00")).unwrap()
}

/// What a refusal says, and what it advises.
pub(crate) fn refusal<T: std::fmt::Debug>(result: Result<T, LedgerError>) -> String {
    match result.unwrap_err() {
        LedgerError::Refused { what, hint } => format!("{what}; {hint}"),
        other => other.to_string(),
    }
}

impl Household {
    /// A kitchen at 500 ft with two dial-gauge canners.
    pub(in crate::ledger) fn new() -> Self {
        let now = DateTime::parse_from_rfc3339("2026-08-14T08:00:00-05:00").unwrap();
        Self::begin(now, &CANNERS.map(|name| (name, Method::PressureDial)))
    }

    /// A kitchen at 500 ft with these canners, at a moment of UTC.
    pub(crate) fn with_canners(moment: &str, canners: &[(&str, Method)]) -> Self {
        Self::begin(instant(moment), canners)
    }

    /// A kitchen at 500 ft with a dial-gauge canner, `Big dial`, and a boiling-water one, `Kettle`.
    pub(crate) fn at(moment: &str) -> Self {
        let canners = [("Big dial", Method::PressureDial), ("Kettle", Method::BoilingWater)];
        Self::with_canners(moment, &canners)
    }

    fn begin(now: DateTime<FixedOffset>, canners: &[(&str, Method)]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let clock = Clock { now };
        let path = folder.path().join("ledger.jarledger");
        let ledger = Ledger::create(&path, uuid::Uuid::nil(), clock).unwrap();
        ledger.make_hasty().unwrap();
        let household = Self { _folder: folder, ledger, clock };
        household
            .entry(|write| {
                write.set_altitude("500ft".parse().unwrap())?;
                for (name, method) in canners {
                    write.add_canner(&NewCanner {
                        name: name.parse().unwrap(),
                        method: *method,
                        holds: BTreeMap::from([(JarSize::Pint, 9), (JarSize::Quart, 7)]),
                        holds_together: Vec::new(),
                    })?;
                }
                Ok(())
            })
            .unwrap();
        household
    }

    /// Moves the clock to a moment of UTC.
    pub(crate) fn on(&mut self, moment: &str) -> &Self {
        self.clock = Clock { now: instant(moment) };
        self
    }

    /// Writes one entry, now.
    pub(crate) fn entry<T>(
        &self,
        act: impl FnOnce(&Write<'_>) -> Result<T, LedgerError>,
    ) -> Result<T, LedgerError> {
        self.ledger
            .write("step", self.clock, |write| Ok((act(write)?, "step".to_owned())))
            .map(|it| it.outcome)
    }

    pub(in crate::ledger) fn last_entry(&self) -> EntryId {
        self.ledger.history(1).unwrap()[0].entry
    }

    pub(in crate::ledger) fn undo(&self, entry: EntryId) -> Result<Undone, LedgerError> {
        self.entry(|write| write.undo(Some(entry)))
    }

    /// Takes back the newest entry that is in force and no undo.
    pub(crate) fn undo_last(&self) -> Undone {
        self.entry(|write| write.undo(None)).unwrap()
    }

    /// A load that came out now, with 11 psi after 10 minutes of venting, which a kettle pays no heed to.
    pub(crate) fn load(&self, canner: &str, minutes: u32, jars: &[(JarSize, u32)]) -> NewLoad {
        NewLoad {
            run: None,
            canner: Some(canner.parse().unwrap()),
            facts: LoadFacts {
                altitude: Some("500ft".parse().unwrap()),
                pressure: Some(Pressure::from_psi(11)),
                pressure_entered: Some("11 psi".to_owned()),
                minutes: Some(minutes),
                vent_min: Some(10),
                ..LoadFacts::out(self.clock.now)
            },
            lid_lot: None,
            jars: jars.to_vec(),
        }
    }

    /// A load of which nothing is on record but that it came out now.
    pub(crate) fn unrecorded(&self, size: JarSize, jars: u32) -> NewLoad {
        let facts = LoadFacts::out(self.clock.now);
        NewLoad { run: None, canner: None, facts, lid_lot: None, jars: vec![(size, jars)] }
    }

    /// A batch of a food of the tables put up today.
    pub(crate) fn batch(&self, (product, food): (&str, &str), loads: Vec<NewLoad>) -> NewBatch {
        NewBatch {
            product: product.parse().unwrap(),
            food: Some(food.parse().unwrap()),
            acidity: None,
            pack: Some(Pack::Hot),
            put_up: self.clock.today(),
            quality_months: None,
            place: Some("Cellar".parse().unwrap()),
            ingredient_lots: Vec::new(),
            note: None,
            name_reason: None,
            recipe: None,
            loads,
        }
    }

    /// Puts up a batch and judges its loads.
    pub(crate) fn put_up(&self, batch: &NewBatch) -> Vec<Judging> {
        self.entry(|write| {
            let logged = write.put_up(batch)?;
            logged.loads.iter().map(|&load| write.judge_load(load)).collect()
        })
        .unwrap()
    }

    /// Puts up a batch of one load in pints: 20 minutes meet the process of green beans, and of pears.
    pub(crate) fn pints(&self, (product, food): (&str, &str), jars: u32, minutes: u32) -> Vec<Judging> {
        let canner = if food == "pears" { "Kettle" } else { "Big dial" };
        self.put_up(&self.batch((product, food), vec![self.load(canner, minutes, &[(JarSize::Pint, jars)])]))
    }

    /// Puts up a batch whose process nobody wrote down, and judges nothing.
    pub(crate) fn stand_by(&self, named: (&str, &str), size: JarSize, jars: u32) -> BatchCode {
        let batch = NewBatch { pack: None, ..self.batch(named, vec![self.unrecorded(size, jars)]) };
        self.entry(|write| write.put_up(&batch)).unwrap().batch
    }

    /// The jars of a batch with these numbers, all of them where none is given.
    pub(crate) fn jars(&self, batch: &str, numbers: &[u32]) -> Vec<Jar> {
        let mut jars = self.ledger.jars_of_batch(batch.parse().unwrap()).unwrap();
        jars.retain(|jar| numbers.is_empty() || numbers.contains(&jar.code.number));
        assert!(numbers.is_empty() || jars.len() == numbers.len(), "{batch} {numbers:?}");
        jars
    }

    pub(crate) fn states(&self, batch: &str) -> Vec<JarState> {
        self.jars(batch, &[]).iter().map(|jar| jar.state).collect()
    }

    /// Looks at lids, now, and finds all of them sealed or all failed.
    pub(crate) fn check_seals(
        &self,
        batch: &str,
        numbers: &[u32],
        sealed: bool,
    ) -> Result<Vec<Checked>, LedgerError> {
        let look = |jar| SealLook { jar, sealed, test: SealTest::Press };
        let looks: Vec<SealLook> = self.jars(batch, numbers).into_iter().map(look).collect();
        self.entry(|write| write.check_seals(&looks, self.clock.now, !sealed))
    }

    /// Lets an act happen to jars, now.
    pub(crate) fn act(&self, batch: &str, numbers: &[u32], act: Act) -> Result<Vec<Happened>, LedgerError> {
        self.act_at(batch, numbers, act, When::At(self.clock.now))
    }

    pub(crate) fn act_at(
        &self,
        batch: &str,
        numbers: &[u32],
        act: Act,
        when: When,
    ) -> Result<Vec<Happened>, LedgerError> {
        let jars = self.jars(batch, numbers);
        self.entry(|write| write.act_on(&jars, act, when, &Particulars::default()))
    }

    /// Gives a jar away.
    pub(crate) fn give(&self, batch: &str, number: u32, to: &str) {
        let jars = self.jars(batch, &[number]);
        let to = Particulars { who: Some(to.to_owned()), ..Particulars::default() };
        self.entry(|write| write.act_on(&jars, Act::Give, When::At(self.clock.now), &to)).unwrap();
    }

    /// Puts jars on hold by hand; returns how many were not held for this reason already.
    pub(crate) fn hold(&self, batch: &str, numbers: &[u32], reason: &str) -> Result<usize, LedgerError> {
        let jars = self.jars(batch, numbers);
        self.entry(|write| {
            let held = jars.iter().map(|jar| write.hold(jar, HoldCause::ByHand, reason));
            Ok(held.collect::<Result<Vec<bool>, _>>()?.into_iter().filter(|&held| held).count())
        })
    }

    /// Releases jars; returns the holds that ended.
    pub(crate) fn release(
        &self,
        batch: &str,
        numbers: &[u32],
        reason: &str,
    ) -> Result<Vec<Hold>, LedgerError> {
        let jars = self.jars(batch, numbers);
        self.entry(|write| {
            let ended = jars.iter().map(|jar| write.release(jar, reason));
            Ok(ended.collect::<Result<Vec<_>, _>>()?.concat())
        })
    }

    pub(crate) fn on_hold(&self, batch: &str) -> Vec<bool> {
        self.jars(batch, &[]).iter().map(|jar| jar.on_hold).collect()
    }

    /// Why a jar is on hold.
    pub(crate) fn reasons(&self, batch: &str, number: u32) -> Vec<String> {
        let holds = self.ledger.holds_on(&self.jars(batch, &[number])[0]).unwrap();
        holds.into_iter().map(|hold| hold.reason).collect()
    }

    /// Corrects one field of a load.
    pub(crate) fn correct_load(
        &self,
        load: &str,
        field: Field,
        value: Option<&str>,
    ) -> Result<Vec<Judging>, LedgerError> {
        let load: LoadCode = load.parse().unwrap();
        self.entry(|write| write.correct(Corrected::Load(load), &[Amendment::new(field, value)], "misread"))
    }

    /// Puts up and judges a batch, and empties jars into it, begun at a moment: reprocessed, or used in it.
    pub(crate) fn put_up_from(
        &self,
        batch: &NewBatch,
        emptied: &[Jar],
        (act, begun): (Act, &str),
    ) -> Result<BatchCode, LedgerError> {
        self.entry(|write| {
            let logged = write.put_up(batch)?;
            for &load in &logged.loads {
                write.judge_load(load)?;
            }
            if act == Act::Use {
                write.use_jars(emptied, logged.batch, instant(begun))?;
            } else {
                write.reprocess(emptied, logged.batch, instant(begun))?;
            }
            Ok(logged.batch)
        })
    }

    /// Records a test of a dial gauge at one point, in psi.
    pub(crate) fn test_gauge(&self, canner: &str, on: &str, (reads, truly): (i64, i64)) -> Rejudged {
        let points = |psi: i64| [Pressure::from_centi_psi(psi * 100)];
        let test = GaugeTest::new(on.parse().unwrap(), false, &points(reads), &points(truly)).unwrap();
        self.record_test(canner, test).unwrap()
    }

    pub(crate) fn record_test(&self, canner: &str, test: GaugeTest) -> Result<Rejudged, LedgerError> {
        let canner = self.ledger.canner(&canner.parse().unwrap())?;
        self.entry(|write| write.test_gauge(&canner, &RecordedTest { test, note: None }))
    }

    /// The jars that a trace finds, in their order.
    pub(crate) fn trace(&self, query: &TraceQuery) -> Result<Vec<TracedJar>, LedgerError> {
        let traced = self.ledger.trace(query)?;
        let mut jars = Vec::new();
        self.ledger.each_traced(&traced, 0..traced.len(), |jar| {
            jars.push(jar);
            Ok::<(), LedgerError>(())
        })?;
        Ok(jars)
    }

    /// Puts every jar in the house that a trace finds on hold.
    pub(crate) fn trace_to_hold(&self, query: &TraceQuery, reason: &str) -> usize {
        self.entry(|write| {
            let traced = write.trace(query)?;
            write.hold_traced(&traced, reason)
        })
        .unwrap()
    }

    /// What `check` finds wrong.
    pub(crate) fn problems(&self) -> Vec<Problem> {
        self.ledger.check().unwrap().problems
    }

    /// Every row of every table.
    pub(in crate::ledger) fn dump(&self) -> Vec<Vec<Value>> {
        let conn = &self.ledger.conn;
        let tables: Vec<String> = conn
            .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name")
            .unwrap()
            .query_map([], |row| row.get(0))
            .unwrap()
            .collect::<Result<_, _>>()
            .unwrap();
        let mut rows = Vec::new();
        for table in tables {
            let mut statement = conn.prepare(&format!("SELECT * FROM {table}")).unwrap();
            let columns = statement.column_count();
            let found = statement
                .query_map([], |row| (0..columns).map(|at| row.get(at)).collect::<Result<Vec<Value>, _>>())
                .unwrap();
            rows.extend(found.map(Result::unwrap));
        }
        rows
    }
}
