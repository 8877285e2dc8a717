//! What later entries build on, one case for each kind of fact and each later kind.

use chrono::TimeDelta;

use crate::ledger::entry::write::EntryId;
use crate::ledger::error::LedgerError;
use crate::ledger::tests::household::{Household, refusal};
use crate::ledger::tests::step::Step;
use crate::rules::jar::jar_state::Act;
use crate::values::kinds::run_step::RunStep;

/// Beans at 11 psi: 20 minutes meet the process of pints at 500 ft, 15 do not (USDA AIB 539, Guide 4).
const MEETS: u32 = 20;
const SHORT: u32 = 15;

fn put_up(minutes: u32) -> Step {
    Step::PutUp { product: 0, jars: 1, minutes, canner: 0, lids: 0 }
}

/// The household's own food, for which no table has a process.
fn put_up_own() -> Step {
    Step::PutUp { product: 2, jars: 1, minutes: 25, canner: 0, lids: 0 }
}

fn put_up_borrowed() -> Step {
    Step::PutUp { product: 0, jars: 1, minutes: MEETS, canner: 2, lids: 0 }
}

fn act(act: Act) -> Step {
    Step::Do { jars: vec![0], act }
}

const fn check(sealed: bool) -> Step {
    Step::Check { jar: 0, sealed }
}

const BEGIN: Step = Step::Begin { canner: 0, product: 0 };

/// A run from its beginning to its end.
const WHOLE: [RunStep; 8] = {
    use RunStep::{Closed, Depressurized, Heat, Lid, Off, Out, Reached, Steam};
    [Heat, Steam, Closed, Reached, Off, Depressurized, Lid, Out]
};

const HOLD: Step = Step::Hold { jar: 0 };
const RELEASE: Step = Step::Release { jar: 0 };
const TRACE: Step = Step::Trace { lids: 0 };
const REPROCESS: Step = Step::Reprocess { jar: 0, minutes: MEETS };

const fn minutes(minutes: u32) -> Step {
    Step::Minutes { batch: 0, minutes }
}

/// What was done, each so many hours after the one before; which of it to take back; and which later one forbids it.
struct Case {
    built: &'static str,
    steps: Vec<(i64, Step)>,
    writer: usize,
    user: usize,
}

fn case(built: &'static str, writer: usize, user: usize, steps: Vec<(i64, Step)>) -> Case {
    Case { built, steps, writer, user }
}

/// The first entry records the two canners.
const fn entry_of(step: usize) -> i64 {
    step as i64 + 2
}

fn lived(case: &Case) -> Household {
    let mut household = Household::new();
    for (hours, step) in &case.steps {
        household.clock = household.clock.after(TimeDelta::hours(*hours));
        household.run(step).unwrap_or_else(|error| panic!("{}: {step:?}: {error}", case.built));
    }
    household
}

/// One case for each kind of fact and each later kind that builds on it.
fn built_on() -> Vec<Case> {
    let gauge = |reads| Step::Gauge { canner: 0, reads };
    let own = Step::OwnProcess { minutes: 25 };
    vec![
        case("a seal check on a putting-up", 0, 1, vec![(0, put_up(MEETS)), (13, check(true))]),
        case("a hold on a putting-up", 0, 1, vec![(0, put_up(MEETS)), (1, HOLD)]),
        case("a trace on a putting-up", 0, 1, vec![(0, put_up(MEETS)), (1, TRACE)]),
        case("a correction on a putting-up", 0, 1, vec![(0, put_up(MEETS)), (1, minutes(25))]),
        case("a gauge test that judged it on a putting-up", 0, 1, vec![(0, put_up(MEETS)), (1, gauge(13))]),
        case(
            "a reprocessing on a putting-up",
            0,
            2,
            vec![(0, put_up(MEETS)), (13, check(false)), (1, REPROCESS)],
        ),
        case(
            "an opening on a seal check",
            1,
            2,
            vec![(0, put_up(MEETS)), (13, check(true)), (1, act(Act::Open))],
        ),
        case(
            "a chilling on a failed check",
            1,
            2,
            vec![(0, put_up(MEETS)), (13, check(false)), (1, act(Act::Chill))],
        ),
        case(
            "a reprocessing on a failed check",
            1,
            2,
            vec![(0, put_up(MEETS)), (13, check(false)), (1, REPROCESS)],
        ),
        case(
            "a finish on an opening",
            2,
            3,
            vec![(0, put_up(MEETS)), (13, check(true)), (1, act(Act::Open)), (1, act(Act::Finish))],
        ),
        case(
            "a finding on a missing",
            2,
            3,
            vec![(0, put_up(MEETS)), (13, check(true)), (1, act(Act::Miss)), (1, act(Act::Find))],
        ),
        case("a release on a hold", 1, 2, vec![(0, put_up(MEETS)), (1, HOLD), (1, RELEASE)]),
        case("a release on a trace", 1, 2, vec![(0, put_up(MEETS)), (1, TRACE), (1, RELEASE)]),
        case(
            "an opening on a release",
            3,
            4,
            vec![(0, put_up(MEETS)), (13, check(true)), (1, HOLD), (1, RELEASE), (1, act(Act::Open))],
        ),
        case(
            "a correction on a correction",
            1,
            2,
            vec![(0, put_up(MEETS)), (1, minutes(25)), (1, minutes(22))],
        ),
        case(
            "an opening on a correction that let the jar go",
            2,
            3,
            vec![(0, put_up(SHORT)), (13, check(true)), (1, minutes(MEETS)), (1, act(Act::Open))],
        ),
        case(
            "a chilling on a correction of when the load came out",
            1,
            3,
            vec![
                (0, put_up(MEETS)),
                // It came out later than was written down, which is an earlier hour taken back twice.
                (0, Step::Out { batch: 0, hours: -20 }),
                (33, check(false)),
                (1, act(Act::Chill)),
            ],
        ),
        case("a putting-up in a canner", 0, 1, vec![(0, Step::NewCanner), (1, put_up_borrowed())]),
        case(
            "a correction to a canner",
            0,
            2,
            vec![(0, Step::NewCanner), (1, put_up(MEETS)), (1, Step::Canner { batch: 0, canner: 2 })],
        ),
        // The load is in it no longer, and would be again once the second correction is taken back.
        case(
            "a correction to a canner that was corrected again",
            0,
            2,
            vec![
                (0, Step::NewCanner),
                (1, put_up(MEETS)),
                (1, Step::Canner { batch: 0, canner: 2 }),
                (1, Step::Canner { batch: 0, canner: 1 }),
            ],
        ),
        case("a putting-up judged by a gauge test", 0, 1, vec![(0, gauge(13)), (1, put_up(MEETS))]),
        case("a putting-up judged by an own process", 0, 1, vec![(0, own.clone()), (1, put_up_own())]),
        case(
            "a gauge test that changed no verdict on a putting-up",
            0,
            1,
            vec![(0, put_up(MEETS)), (1, gauge(11))],
        ),
        case(
            "a gauge test on a canner",
            0,
            1,
            vec![(0, Step::NewCanner), (1, Step::Gauge { canner: 2, reads: 11 })],
        ),
        // Two of one name: only the one can be meant.
        case(
            "a canner on the undo of one of its name",
            1,
            2,
            vec![(0, Step::NewCanner), (0, Step::Undo(0)), (1, Step::NewCanner)],
        ),
        case("a putting-up on a recipe", 0, 1, vec![(0, Step::Recipe), (1, Step::PutUpRecipe)]),
        case(
            "a use in another batch on a seal check",
            1,
            2,
            vec![(0, put_up(MEETS)), (13, check(true)), (1, Step::Use { jar: 0 })],
        ),
        case(
            "a run in a canner",
            0,
            1,
            vec![(0, Step::NewCanner), (1, Step::Begin { canner: 2, product: 0 })],
        ),
        case("a run by a recipe", 0, 1, vec![(0, Step::Recipe), (1, BEGIN)]),
        case("a run by an own process", 0, 1, vec![(0, own), (1, Step::Begin { canner: 0, product: 2 })]),
        case(
            "a run on the end of the one in its canner",
            1,
            2,
            vec![(0, BEGIN), (0, Step::Take(&[RunStep::Abandon])), (1, BEGIN)],
        ),
        case("a step on a run", 0, 1, vec![(0, BEGIN), (0, Step::Take(&[RunStep::Heat]))]),
        case(
            "a step on the step before",
            1,
            2,
            vec![(0, BEGIN), (0, Step::Take(&[RunStep::Heat])), (0, Step::Take(&[RunStep::Steam]))],
        ),
        case("a load on a run", 0, 2, vec![(0, BEGIN), (1, Step::Take(&WHOLE)), (0, Step::PutUpRun)]),
        case(
            "a load on the end of a run",
            1,
            2,
            vec![(0, BEGIN), (1, Step::Take(&WHOLE)), (0, Step::PutUpRun)],
        ),
        // Without them the run still comes to its end, and leaves other minutes.
        case(
            "a load on the run's time",
            2,
            4,
            vec![
                (0, BEGIN),
                (0, Step::Take(&WHOLE[..4])),
                (1, Step::Take(&[RunStep::Lost, RunStep::Reached])),
                (1, Step::Take(&WHOLE[4..])),
                (0, Step::PutUpRun),
            ],
        ),
        case(
            "a load on the undo of another from its run",
            3,
            4,
            vec![
                (0, BEGIN),
                (1, Step::Take(&WHOLE)),
                (0, Step::PutUpRun),
                (0, Step::Undo(0)),
                (1, Step::PutUpRun),
            ],
        ),
        case(
            "the end of a run on the undo of its load",
            3,
            4,
            vec![
                (0, BEGIN),
                (1, Step::Take(&WHOLE)),
                (0, Step::PutUpRun),
                (0, Step::Undo(0)),
                (1, Step::Take(&[RunStep::Abandon])),
            ],
        ),
    ]
}

#[test]
fn what_later_entries_build_on_is_not_taken_back() {
    for case in built_on() {
        let household = lived(&case);
        let before = household.dump();
        let refused = household.undo(EntryId(entry_of(case.writer))).unwrap_err();
        let LedgerError::Refused { what, hint } = &refused else { panic!("{}: {refused}", case.built) };
        let user = format!("entry {} (", entry_of(case.user));
        assert!(what.contains(&user), "{}: {what}", case.built);
        assert!(hint.contains("`jarledger undo "), "{}: {hint}", case.built);
        assert!(household.dump() == before, "{}", case.built);
    }
}

#[test]
fn in_the_opposite_order_everything_is_taken_back_and_brought_back_again() {
    for case in built_on() {
        let household = lived(&case);
        for step in (case.writer..case.steps.len()).rev() {
            household
                .undo(EntryId(entry_of(step)))
                .unwrap_or_else(|error| panic!("{}: taking back step {step}: {error}", case.built));
        }
        assert!(household.ledger.check().unwrap().problems.is_empty(), "{}", case.built);
        // The undo of the step before comes later, so the last undo is of the first step.
        let last = household.ledger.history(1).unwrap()[0].entry.0;
        for undo in (0..case.steps.len() - case.writer).map(|before| last - before as i64) {
            household
                .undo(EntryId(undo))
                .unwrap_or_else(|error| panic!("{}: bringing back by undo {undo}: {error}", case.built));
        }
        assert!(household.ledger.check().unwrap().problems.is_empty(), "{}", case.built);
    }
}

#[test]
fn what_was_built_on_is_not_brought_back_without_it() {
    for case in built_on().into_iter().filter(|case| case.user == case.writer + 1) {
        let household = lived(&case);
        for step in (case.writer..case.steps.len()).rev() {
            household.undo(EntryId(entry_of(step))).unwrap();
        }
        let last = household.ledger.history(1).unwrap()[0].entry.0;
        // The undo before the last took back the step after the writer.
        let brought = household.undo(EntryId(last - 1));
        assert!(matches!(brought, Err(LedgerError::Refused { .. })), "{}: {brought:?}", case.built);
    }
}

#[test]
fn a_later_entry_that_would_be_the_same_without_it_forbids_nothing() {
    let gauge = |reads| Step::Gauge { canner: 0, reads };
    let case = case(
        "a true gauge",
        0,
        1,
        vec![(0, gauge(11)), (1, put_up(MEETS)), (13, check(true)), (1, act(Act::Open))],
    );
    let household = lived(&case);
    let findings = household.undo(EntryId(entry_of(0)));
    // The verdict stands, but that the gauge was tested is one of its findings: cautions are no reasons.
    findings.unwrap();
    assert!(household.ledger.check().unwrap().problems.is_empty());
}

#[test]
fn from_a_run_given_up_nothing_follows() {
    let case = case(
        "a run given up",
        0,
        2,
        vec![
            (0, Step::OwnProcess { minutes: 25 }),
            (1, Step::Begin { canner: 0, product: 2 }),
            (1, Step::Take(&[RunStep::Abandon])),
        ],
    );
    let household = lived(&case);
    household.undo(EntryId(entry_of(0))).unwrap();
    assert_eq!(household.problems(), []);
    // Back under way, it would be by no process on record.
    let refused = refusal(household.undo(EntryId(entry_of(2))));
    assert!(refused.contains("run 1 is by your own process for nettle-stew"), "{refused}");
}
