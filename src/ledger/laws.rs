//! Laws that hold whatever a household does, tried on random histories.
//!
//! Few batches, jars and canners, so that what is done to them collides.

use std::collections::BTreeMap;

use chrono::{NaiveDate, TimeDelta};
use proptest::prelude::*;
use rusqlite::types::Value;

use crate::ledger::batch::batch_story::BatchLine;
use crate::ledger::batch::load_facts::LoadFacts;
use crate::ledger::batch::put_up::{NewBatch, NewLoad};
use crate::ledger::check::Kind;
use crate::ledger::check::scope::Scope;
use crate::ledger::entry::correct::{Amendment, Corrected};
use crate::ledger::entry::correct_field::Field;
use crate::ledger::entry::write::{EntryId, Write};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::event::Particulars;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::hold::HoldCause;
use crate::ledger::jar::live::Which;
use crate::ledger::jar::seal::SealLook;
use crate::ledger::kitchen::canner::NewCanner;
use crate::ledger::kitchen::gauge::RecordedTest;
use crate::ledger::trace::query::TraceQuery;
use crate::rules::gauge::dial_gauge::GaugeTest;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::jar::permit::When;
use crate::rules::process::HouseholdProcess;
use crate::values::codes::jar_code::BatchCode;
use crate::values::codes::load_code::LoadCode;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Method, Pack};
use crate::values::kinds::seal_test::SealTest;
use crate::values::measures::pressure::Pressure;
use crate::values::time::clock::Clock;

/// One command, with small numbers that stand for what it is done to.
#[derive(Debug, Clone)]
pub(in crate::ledger) enum Step {
    PutUp {
        product: usize,
        jars: u32,
        minutes: u32,
        canner: usize,
        lids: usize,
    },
    /// Every jar under lids of a lot is held.
    Trace {
        lids: usize,
    },
    /// A jar is emptied into a new batch of the same food.
    Reprocess {
        jar: usize,
        minutes: u32,
    },
    Check {
        jar: usize,
        sealed: bool,
    },
    Do {
        jars: Vec<usize>,
        act: Act,
    },
    Hold {
        jar: usize,
    },
    Release {
        jar: usize,
    },
    Gauge {
        canner: usize,
        reads: i64,
    },
    Minutes {
        batch: usize,
        minutes: u32,
    },
    Product {
        batch: usize,
        product: usize,
    },
    /// The load of a batch came out so many hours earlier than it says.
    Out {
        batch: usize,
        hours: i64,
    },
    Day {
        batch: usize,
        days: i64,
    },
    Canner {
        batch: usize,
        canner: usize,
    },
    /// A third canner is recorded, whose name may have been taken back.
    NewCanner,
    OwnProcess {
        minutes: u32,
    },
    Altitude(i64),
    /// The entry so many before the last.
    Undo(usize),
}

/// The last is a food of the household's own, which has the process it entered or none.
const PRODUCTS: [(&str, &str); 3] =
    [("Green beans", "green-beans"), ("Pears", "pears"), ("Nettle stew", "nettle-stew")];
const LID_LOTS: [&str; 2] = ["A7", "B8"];
const CANNERS: [&str; 2] = ["Big dial", "Small dial"];
const NEW_CANNER: &str = "Borrowed dial";

fn batches(ledger: &Ledger) -> Result<Vec<BatchLine>, LedgerError> {
    let mut batches = Vec::new();
    ledger.each_batch(|batch| {
        batches.push(batch);
        Ok::<(), LedgerError>(())
    })?;
    Ok(batches)
}

fn canner_name(at: usize) -> &'static str {
    CANNERS.get(at).copied().unwrap_or(NEW_CANNER)
}

/// How many histories to try: from the environment, as proptest reads it, else few.
fn cases() -> ProptestConfig {
    let asked = std::env::var("PROPTEST_CASES").ok().and_then(|cases| cases.parse().ok());
    ProptestConfig { cases: asked.unwrap_or(24), ..ProptestConfig::default() }
}

fn step() -> impl Strategy<Value = Step> {
    let act = proptest::sample::select(vec![
        Act::Open,
        Act::Open,
        Act::Finish,
        Act::Give,
        Act::Discard,
        Act::Move,
        Act::Chill,
        Act::Freeze,
        Act::SealLost,
        Act::Miss,
        Act::Find,
    ]);
    let minutes = proptest::sample::select(vec![15_u32, 20, 25]);
    prop_oneof![
        2 => (0_usize..3, 1_u32..3, minutes.clone(), 0_usize..3, 0_usize..2)
            .prop_map(|(product, jars, minutes, canner, lids)| Step::PutUp { product, jars, minutes, canner, lids }),
        2 => (0_usize..2).prop_map(|lids| Step::Trace { lids }),
        2 => (0_usize..5, minutes.clone()).prop_map(|(jar, minutes)| Step::Reprocess { jar, minutes }),
        5 => (0_usize..5, prop::bool::weighted(0.8)).prop_map(|(jar, sealed)| Step::Check { jar, sealed }),
        8 => (prop::collection::vec(0_usize..5, 1..3), act).prop_map(|(jars, act)| Step::Do { jars, act }),
        2 => (0_usize..5).prop_map(|jar| Step::Hold { jar }),
        2 => (0_usize..5).prop_map(|jar| Step::Release { jar }),
        3 => (0_usize..2, 10_i64..14).prop_map(|(canner, reads)| Step::Gauge { canner, reads }),
        4 => (0_usize..3, minutes).prop_map(|(batch, minutes)| Step::Minutes { batch, minutes }),
        1 => (0_usize..3, 0_usize..2).prop_map(|(batch, product)| Step::Product { batch, product }),
        1 => (0_usize..3, 1_i64..5).prop_map(|(batch, hours)| Step::Out { batch, hours }),
        1 => (0_usize..3, -1_i64..3).prop_map(|(batch, days)| Step::Day { batch, days }),
        1 => (0_usize..3, 0_usize..3).prop_map(|(batch, canner)| Step::Canner { batch, canner }),
        1 => Just(Step::NewCanner),
        1 => proptest::sample::select(vec![20_u32, 25]).prop_map(|minutes| Step::OwnProcess { minutes }),
        1 => (0_i64..3).prop_map(Step::Altitude),
        8 => (0_usize..10).prop_map(Step::Undo),
    ]
}

/// A ledger on disk with two canners, and its clock.
pub(in crate::ledger) struct Household {
    _folder: tempfile::TempDir,
    pub(in crate::ledger) ledger: Ledger,
    pub(in crate::ledger) clock: Clock,
}

impl Household {
    pub(in crate::ledger) fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let now = chrono::DateTime::parse_from_rfc3339("2026-08-14T08:00:00-05:00").unwrap();
        let clock = Clock { now };
        let path = folder.path().join("ledger.jarledger");
        let ledger = Ledger::create(&path, uuid::Uuid::nil(), clock).unwrap();
        ledger.make_hasty().unwrap();
        let household = Self { _folder: folder, ledger, clock };
        household
            .entry(|write| {
                write.set_altitude("500ft".parse().unwrap())?;
                for name in CANNERS {
                    let holds = BTreeMap::from([(JarSize::Pint, 9)]);
                    write.add_canner(&NewCanner {
                        name: name.parse().unwrap(),
                        method: Method::PressureDial,
                        holds,
                        holds_together: Vec::new(),
                    })?;
                }
                Ok(())
            })
            .unwrap();
        household
    }

    fn entry<T>(&self, act: impl FnOnce(&Write<'_>) -> Result<T, LedgerError>) -> Result<T, LedgerError> {
        self.ledger
            .write("step", self.clock, |write| Ok((act(write)?, "step".to_owned())))
            .map(|it| it.outcome)
    }

    /// A jar ever put up, counted round.
    fn jar(&self, at: usize) -> Result<Jar, LedgerError> {
        let mut jars = Vec::new();
        for batch in batches(&self.ledger)? {
            jars.extend(self.ledger.jars_of_batch(batch.batch.code)?);
        }
        let count = jars.len().max(1);
        jars.into_iter().nth(at % count).ok_or_else(|| LedgerError::NotFound("no jar".to_owned()))
    }

    fn batch(&self, at: usize) -> Result<BatchCode, LedgerError> {
        let batches = batches(&self.ledger)?;
        let count = batches.len().max(1);
        let batch = batches.get(at % count).map(|batch| batch.batch.code);
        batch.ok_or_else(|| LedgerError::NotFound("no batch".to_owned()))
    }

    fn new_batch(
        &self,
        (name, food): (&str, &str),
        jars: u32,
        minutes: u32,
        canner: &str,
        lids: &str,
    ) -> NewBatch {
        let load = NewLoad {
            run: None,
            canner: Some(canner.parse().unwrap()),
            facts: LoadFacts {
                altitude: Some("500ft".parse().unwrap()),
                pressure: Some(Pressure::from_centi_psi(1_100)),
                pressure_entered: Some("11 psi".to_owned()),
                minutes: Some(minutes),
                vent_min: Some(10),
                ..LoadFacts::out(self.clock.now)
            },
            lid_lot: Some(lids.parse().unwrap()),
            jars: vec![(JarSize::Pint, jars)],
        };
        NewBatch {
            product: name.parse().unwrap(),
            food: Some(food.parse().unwrap()),
            acidity: Some(if food == "pears" { Acidity::Acid } else { Acidity::LowAcid }),
            pack: Some(Pack::Raw),
            put_up: self.clock.today(),
            quality_months: None,
            place: Some("Cellar".parse().unwrap()),
            ingredient_lots: Vec::new(),
            note: None,
            name_reason: None,
            recipe: None,
            loads: vec![load],
        }
    }

    pub(in crate::ledger) fn run(&self, step: &Step) -> Result<(), LedgerError> {
        let now = self.clock.now;
        match step {
            Step::PutUp { product, jars, minutes, canner, lids } => {
                let batch = self.new_batch(
                    PRODUCTS[*product],
                    *jars,
                    *minutes,
                    canner_name(*canner),
                    LID_LOTS[*lids],
                );
                self.entry(|write| {
                    let logged = write.put_up(&batch)?;
                    write.judge_load(LoadCode { batch: logged.batch, number: 1 })?;
                    Ok(())
                })
            }
            Step::Trace { lids } => {
                let lid_lots = vec![LID_LOTS[*lids].parse().unwrap()];
                self.entry(|write| {
                    let traced = write.trace(&TraceQuery { lid_lots, ..TraceQuery::default() })?;
                    write.hold_traced(&traced, LID_LOTS[*lids]).map(|_| ())
                })
            }
            Step::Reprocess { jar, minutes } => {
                let jar = self.jar(*jar)?;
                let product = PRODUCTS.into_iter().find(|(name, _)| *name == jar.product).unwrap();
                let batch = self.new_batch(product, 1, *minutes, CANNERS[0], LID_LOTS[1]);
                self.entry(|write| {
                    let logged = write.put_up(&batch)?;
                    write.judge_load(LoadCode { batch: logged.batch, number: 1 })?;
                    write.reprocess(&[jar], logged.batch, now)
                })
            }
            Step::Check { jar, sealed } => {
                let jar = self.jar(*jar)?;
                self.entry(|write| {
                    let look = SealLook { jar, sealed: *sealed, test: SealTest::Press };
                    write.check_seals(&[look], now, true)?;
                    Ok(())
                })
            }
            Step::Do { jars, act } => {
                let jars: Vec<Jar> = jars.iter().map(|&jar| self.jar(jar)).collect::<Result<_, _>>()?;
                let place = (*act == Act::Move).then(|| "Attic".parse().unwrap());
                let particulars = Particulars { place, ..Particulars::default() };
                self.entry(|write| write.act_on(&jars, *act, When::At(now), &particulars).map(|_| ()))
            }
            Step::Hold { jar } => {
                let jar = self.jar(*jar)?;
                self.entry(|write| write.hold(&jar, HoldCause::ByHand, "a doubt").map(|_| ()))
            }
            Step::Release { jar } => {
                let jar = self.jar(*jar)?;
                self.entry(|write| write.release(&jar, "looked at again").map(|_| ()))
            }
            Step::Gauge { canner, reads } => {
                let canner = self.ledger.canner(&CANNERS[*canner].parse().unwrap())?;
                let psi = |psi: i64| Pressure::from_centi_psi(psi * 100);
                let test = GaugeTest::new(self.clock.today(), false, &[psi(*reads)], &[psi(11)]).unwrap();
                self.entry(|write| write.test_gauge(&canner, &RecordedTest { test, note: None }).map(|_| ()))
            }
            Step::Minutes { batch, minutes } => {
                let of = Corrected::Load(LoadCode { batch: self.batch(*batch)?, number: 1 });
                self.entry(|write| {
                    write.correct(of, &[Amendment::new(Field::Minutes, Some(minutes))], "misread").map(|_| ())
                })
            }
            Step::Product { batch, product } => {
                let of = Corrected::Batch(self.batch(*batch)?);
                let amended = [Amendment::new(Field::Product, Some(PRODUCTS[*product].0))];
                self.entry(|write| write.correct(of, &amended, "mislabelled").map(|_| ()))
            }
            Step::Out { batch, hours } => {
                let load = LoadCode { batch: self.batch(*batch)?, number: 1 };
                let out = self.ledger.load(load)?.facts.out_at - TimeDelta::hours(*hours);
                self.entry(|write| {
                    write
                        .correct(
                            Corrected::Load(load),
                            &[Amendment::moment(Field::Out, Some(out))],
                            "misread",
                        )
                        .map(|_| ())
                })
            }
            Step::Day { batch, days } => {
                let code = self.batch(*batch)?;
                let day = self.ledger.batch(code)?.put_up - TimeDelta::days(*days);
                self.entry(|write| {
                    write
                        .correct(
                            Corrected::Batch(code),
                            &[Amendment::new(Field::PutUp, Some(day))],
                            "misread",
                        )
                        .map(|_| ())
                })
            }
            Step::Canner { batch, canner } => {
                let of = Corrected::Load(LoadCode { batch: self.batch(*batch)?, number: 1 });
                let amended = [Amendment::new(Field::Canner, Some(canner_name(*canner)))];
                self.entry(|write| write.correct(of, &amended, "mistaken").map(|_| ()))
            }
            Step::NewCanner => {
                let new = NewCanner {
                    name: NEW_CANNER.parse().unwrap(),
                    method: Method::PressureDial,
                    holds: BTreeMap::from([(JarSize::Pint, 9)]),
                    holds_together: Vec::new(),
                };
                self.entry(|write| write.add_canner(&new).map(|_| ()))
            }
            Step::OwnProcess { minutes } => {
                let process = HouseholdProcess {
                    food: "nettle-stew".parse().unwrap(),
                    acidity: Acidity::LowAcid,
                    pack: Pack::Raw,
                    size: JarSize::Pint,
                    method: Method::PressureDial,
                    altitude_min_ft: 0,
                    altitude_max_ft: Some(2_000),
                    minutes: *minutes,
                    psi: Some(Pressure::from_psi(11)),
                    vent_min: 10,
                    headspace_hundredths_in: 100,
                    publication: "A bulletin".to_owned(),
                    page: "p. 3".to_owned(),
                    published_on: "2020-01-31".parse().unwrap(),
                    entered_on: "2020-02-01".parse().unwrap(),
                };
                self.entry(|write| write.add_household_process(&process).map(|_| ()))
            }
            Step::Altitude(hundreds) => {
                let altitude = format!("{}ft", hundreds * 100).parse().unwrap();
                self.entry(|write| write.set_altitude(altitude))
            }
            Step::Undo(before) => self.undo(EntryId(self.last_entry().0 - *before as i64)),
        }
    }

    pub(in crate::ledger) fn undo(&self, entry: EntryId) -> Result<(), LedgerError> {
        self.entry(|write| write.undo(Some(entry)).map(|_| ()))
    }

    fn last_entry(&self) -> EntryId {
        self.ledger.history(1).unwrap()[0].entry
    }

    /// What every read command draws on, history left out.
    fn answers(&self) -> String {
        let ledger = &self.ledger;
        let today: NaiveDate = "2026-12-01".parse().unwrap();
        let now = self.clock.now;
        let long_ago: NaiveDate = "2020-01-01".parse().unwrap();
        let batches = batches(ledger).unwrap();
        let mut text = format!(
            "{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n",
            ledger.household(),
            ledger.canners(),
            ledger.shelf(&Which::default(), today),
            ledger.appetites(today),
            ledger.wasted(long_ago),
            ledger.seal_statistics(),
            ledger.cooled_loads(now - TimeDelta::days(400)),
            ledger.in_refrigerator(long_ago),
            ledger.dial_gauges(),
            batches,
        );
        for batch in &batches {
            let code = batch.batch.code;
            text.push_str(&format!("{:?}\n", ledger.batch_story(code)));
            let query = TraceQuery { batches: vec![code], ..TraceQuery::default() };
            let traced = ledger.trace(&query).unwrap();
            let each = |found| {
                text.push_str(&format!("{found:?}\n"));
                Ok::<(), LedgerError>(())
            };
            ledger.each_traced(&traced, 0..traced.len(), each).unwrap();
            for jar in ledger.jars_of_batch(code).unwrap() {
                text.push_str(&format!("{:?}\n", ledger.jar_story(jar.code, now)));
            }
        }
        text
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

    /// Checks what must hold at any time; the fold is done here, by the state machine of the rules.
    fn check(&self) {
        let conn = &self.ledger.conn;
        let mut jars = conn
            .prepare(
                "SELECT j.id, j.born, j.state, j.held, n.effective FROM jar j
                 JOIN batch b ON b.id = j.batch_id JOIN entry n ON n.id = b.entry_id",
            )
            .unwrap();
        let mut events = conn
            .prepare(
                "SELECT v.act FROM event v JOIN entry n ON n.id = v.entry_id AND n.effective = 1
                 WHERE v.jar_id = ?1 ORDER BY v.id",
            )
            .unwrap();
        let mut holds = conn
            .prepare(
                "SELECT count(*) FROM hold h JOIN entry n ON n.id = h.entry_id AND n.effective = 1
                 WHERE h.jar_id = ?1 AND h.id NOT IN
                     (SELECT r.hold_id FROM hold_release r JOIN entry m ON m.id = r.entry_id AND m.effective = 1)",
            )
            .unwrap();
        let mut rows = jars.query([]).unwrap();
        let mut put_up = 0;
        while let Some(row) = rows.next().unwrap() {
            let id: i64 = row.get(0).unwrap();
            let text = |at: usize| row.get::<_, String>(at).unwrap();
            let (held, exists): (bool, bool) = (row.get(3).unwrap(), row.get(4).unwrap());
            let state: JarState = text(2).parse().unwrap();
            if !exists {
                assert_eq!(state, JarState::Void, "jar {id}");
                continue;
            }
            put_up += 1;
            let mut folded: JarState = text(1).parse().unwrap();
            for act in events.query_map([id], |row| row.get::<_, String>(0)).unwrap() {
                let act: Act = act.unwrap().parse().unwrap();
                folded = folded.after(act).unwrap_or_else(|error| panic!("jar {id}: {error}"));
            }
            assert_eq!(state, folded, "jar {id}");
            let in_force: i64 = holds.query_row([id], |row| row.get(0)).unwrap();
            assert_eq!(held, in_force > 0, "jar {id}: {in_force} holds");
        }
        let counted: u32 =
            batches(&self.ledger).unwrap().iter().flat_map(|batch| batch.states.values()).sum();
        assert_eq!(counted, put_up, "jars by state against jars put up");
        // Verdicts are what the rules say of the facts in force, and they withhold what they must.
        assert_eq!(self.ledger.verdicts_that_differ(&Scope::ALL.loads(conn).unwrap()).unwrap(), []);
        let mut problems = self.ledger.check().unwrap().problems;
        // Some steps find that nothing is to be done, and still have their entry here.
        problems.retain(|problem| problem.code != Kind::Entry);
        assert_eq!(problems, []);
        let free: i64 = conn
            .query_row(
                "SELECT count(*) FROM jar j JOIN load o ON o.id = j.load_id JOIN batch b ON b.id = j.batch_id
                 WHERE (o.verdict = 'deviates' OR o.verdict = 'no-tested-process' AND b.acidity IS NOT 'acid')
                   AND j.held = 0
                   AND j.state IN ('cooling', 'sealed', 'unsealed', 'chilled', 'frozen', 'opened', 'missing')
                   AND NOT EXISTS (
                       SELECT 1 FROM event v JOIN entry n ON n.id = v.entry_id AND n.effective = 1
                       WHERE v.jar_id = j.id AND v.act IN ('chill', 'freeze') AND v.at <= o.out_at + 2 * 3600)",
                [],
                |row| row.get(0),
            )
            .unwrap();
        assert_eq!(free, 0, "jars of a withheld load, neither on hold nor chilled or frozen within 2 hours");
        // A trace of lids that stands holds every jar under them that was put up before it, but those let go by hand.
        let missed: i64 = conn
            .query_row(
                "SELECT count(*) FROM jar j
                 JOIN batch b ON b.id = j.batch_id
                 JOIN lid_lot l ON l.id = j.lid_lot_id
                 JOIN (SELECT DISTINCT h.entry_id, h.reason FROM hold h
                       JOIN entry n ON n.id = h.entry_id AND n.effective = 1
                       WHERE h.cause = 'trace' AND NOT EXISTS (
                           SELECT 1 FROM hold_release r JOIN entry m ON m.id = r.entry_id AND m.effective = 1
                           WHERE r.hold_id = h.id)) t
                   ON t.reason = l.name AND t.entry_id > b.entry_id
                 WHERE j.held = 0
                   AND j.state IN ('cooling', 'sealed', 'unsealed', 'chilled', 'frozen', 'opened', 'missing')
                   AND NOT EXISTS (SELECT 1 FROM hold h JOIN hold_release r ON r.hold_id = h.id WHERE h.jar_id = j.id)",
                [],
                |row| row.get(0),
            )
            .unwrap();
        assert_eq!(missed, 0, "jars under lids that a standing trace holds, free and never let go by hand");
    }
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn any_history_keeps_the_laws_and_what_is_refused_changes_nothing(
        steps in prop::collection::vec((step(), 0_i64..20), 10..30),
    ) {
        let mut household = Household::new();
        for (step, hours) in steps {
            household.clock = household.clock.after(TimeDelta::hours(hours));
            let before = household.dump();
            if household.run(&step).is_err() {
                prop_assert!(household.dump() == before, "{:?} was refused and changed the ledger", step);
            }
            household.check();
        }
    }

    #[test]
    fn undo_restores_the_exact_prior_answers_and_undoing_it_the_later_ones(
        steps in prop::collection::vec((step(), 0_i64..20), 1..16),
    ) {
        let mut household = Household::new();
        for (step, hours) in steps {
            household.clock = household.clock.after(TimeDelta::hours(hours));
            let before = household.answers();
            if household.run(&step).is_err() {
                continue;
            }
            let after = household.answers();
            let entry = household.last_entry();
            household.undo(entry).unwrap();
            prop_assert_eq!(&household.answers(), &before, "{:?} undone", step);
            household.undo(household.last_entry()).unwrap();
            prop_assert_eq!(&household.answers(), &after, "{:?} brought back", step);
            household.check();
        }
    }
}
