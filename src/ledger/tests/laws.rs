//! Laws that hold whatever a household does, tried on random histories.

use chrono::{NaiveDate, TimeDelta};
use proptest::prelude::*;

use crate::ledger::check::report::Kind;
use crate::ledger::check::scope::Scope;
use crate::ledger::error::LedgerError;
use crate::ledger::jar::live::Which;
use crate::ledger::tests::household::Household;
use crate::ledger::tests::step::{Step, batches};
use crate::ledger::trace::query::TraceQuery;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::values::kinds::run_step::RunStep;

/// How many histories to try: from the environment, as proptest reads it, else few.
fn cases() -> ProptestConfig {
    let asked = std::env::var("PROPTEST_CASES").ok().and_then(|cases| cases.parse().ok());
    ProptestConfig { cases: asked.unwrap_or(24), ..ProptestConfig::default() }
}

/// What a run is taken on by at once.
const STEPS: [&[RunStep]; 6] = {
    use RunStep::{Abandon, Closed, Depressurized, Heat, Lid, Lost, Off, Out, Reached, Steam};
    [
        &[Heat],
        &[Steam, Closed, Reached],
        &[Lost, Reached],
        &[Off, Depressurized, Lid, Out],
        &[Heat, Steam, Closed, Reached, Off, Depressurized, Lid, Out],
        &[Abandon],
    ]
};

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
        2 => (0_usize..3, prop::sample::select(vec![0_usize, 2]))
            .prop_map(|(canner, product)| Step::Begin { canner, product }),
        4 => prop::sample::select(STEPS.to_vec()).prop_map(Step::Take),
        2 => Just(Step::PutUpRun),
        1 => Just(Step::Recipe),
        1 => Just(Step::PutUpRecipe),
        2 => (0_usize..5).prop_map(|jar| Step::Use { jar }),
        1 => (0_i64..3).prop_map(Step::Altitude),
        8 => (0_usize..10).prop_map(Step::Undo),
    ]
}

impl Household {
    /// What every read command draws on, history left out.
    fn answers(&self) -> String {
        let ledger = &self.ledger;
        let today: NaiveDate = "2026-12-01".parse().unwrap();
        let now = self.clock.now;
        let long_ago: NaiveDate = "2020-01-01".parse().unwrap();
        let batches = batches(ledger).unwrap();
        let mut text = format!(
            "{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n",
            ledger.household(),
            ledger.canners(),
            ledger.shelf(&Which::default(), today),
            ledger.appetites(today),
            ledger.wasted(long_ago),
            ledger.seal_statistics(),
            ledger.cooled_loads(now - TimeDelta::days(400)),
            ledger.in_refrigerator(long_ago),
            ledger.dial_gauges(),
            ledger.runs_under_way(),
            ledger.recipes(),
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
