//! Twenty loads on three canners at two altitudes, worked by hand in fixtures/gauge_year.csv.

use chrono::NaiveDate;

use crate::ledger::batch::put_up::NewLoad;
use crate::ledger::batch::rejudged::Rejudged;
use crate::ledger::error::LedgerError;
use crate::ledger::tests::household::{Household, instant, refusal};
use crate::rules::gauge::dial_gauge::GaugeTest;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::load::verdict::Verdict;
use crate::values::codes::load_code::LoadCode;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Method;
use crate::values::measures::pressure::Pressure;

#[derive(Debug, serde::Deserialize)]
struct Row {
    load: u32,
    canner: String,
    altitude_ft: i64,
    day: String,
    food: String,
    jar: JarSize,
    reading_psi: String,
    minutes: Option<u32>,
    clock: String,
    drops: String,
    vent_min: u32,
    verdict_before: String,
    verdict_after: String,
}

fn rows() -> Vec<Row> {
    let text = include_str!("../../../fixtures/gauge_year.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    reader.deserialize().map(Result::unwrap).collect()
}

/// Puts up a row as a batch of its own with two jars, and returns its code and verdict.
fn put_up(household: &mut Household, row: &Row) -> (String, Verdict) {
    let at = |time: &str| instant(&format!("{}T{time}", row.day));
    household.clock.now = at("16:00");
    let mut load = NewLoad { canner: Some(row.canner.parse().unwrap()), ..household.unrecorded(row.jar, 2) };
    let facts = &mut load.facts;
    facts.altitude = format!("{}ft", row.altitude_ft).parse().ok();
    facts.pressure = row.reading_psi.parse().ok();
    facts.pressure_entered = Some(row.reading_psi.clone());
    facts.minutes = row.minutes;
    facts.vent_min = Some(row.vent_min);
    if let Some((reached, ended)) = row.clock.split_once('-') {
        (facts.reached_at, facts.ended_at) = (Some(at(reached)), Some(at(ended)));
    }
    facts.drops = row.drops.split_whitespace().map(|drop| drop.parse().unwrap()).collect();
    let product = format!("Load {:02}", row.load);
    let batch = household.batch((&product, &row.food), vec![load]);
    let judging = household.put_up(&batch).remove(0);
    (judging.judged.load.batch.to_string(), judging.judged.verdict)
}

fn psi(points: &[i64]) -> Vec<Pressure> {
    points.iter().map(|psi| Pressure::from_centi_psi(psi * 100)).collect()
}

/// The three canners, and the tests of the first year.
fn kitchen() -> Household {
    let household = Household::with_canners(
        "2025-05-10T12:00",
        &[("A", Method::PressureDial), ("B", Method::PressureDial), ("C", Method::PressureWeighted)],
    );
    for (canner, reads) in [("A", [5, 10, 15]), ("B", [6, 11, 16])] {
        let on = "2025-05-10".parse().unwrap();
        let test = GaugeTest::new(on, false, &psi(&reads), &psi(&[5, 10, 15])).unwrap();
        household.record_test(canner, test).unwrap();
    }
    household
}

fn morning_after(household: &mut Household, batch: &str, row: &Row) {
    let day: NaiveDate = row.day.parse().unwrap();
    household.on(&format!("{}T07:30", day.succ_opt().unwrap()));
    household.check_seals(batch, &[], true).unwrap();
}

#[test]
fn the_right_loads_and_only_those_change_when_a_gauge_is_found_two_psi_high() {
    let mut household = kitchen();
    let rows = rows();
    let mut batches = Vec::new();
    for row in &rows {
        let (batch, verdict) = put_up(&mut household, row);
        assert_eq!(verdict.as_str(), row.verdict_before, "load {} before", row.load);
        morning_after(&mut household, &batch, row);
        batches.push(batch);
    }
    // Of load 2 one jar was given away, of load 3 one was eaten, of load 5 one thrown away.
    household.on("2025-12-24T10:00").give(&batches[1], 1, "an aunt");
    household.on("2026-01-05T18:00").act(&batches[2], &[1], Act::Open).unwrap();
    household.on("2026-01-06T18:00").act(&batches[2], &[1], Act::Finish).unwrap();
    household.on("2026-02-02T09:00").act(&batches[4], &[2], Act::Discard).unwrap();

    household.on("2026-06-10T12:00");
    let on = "2026-05-12".parse().unwrap();
    let test = GaugeTest::new(on, false, &psi(&[5, 10, 15]), &psi(&[3, 8, 13])).unwrap();
    let rejudged = household.record_test("A", test).unwrap();
    let code = |load: u32| -> LoadCode { format!("{}/1", batches[load as usize - 1]).parse().unwrap() };
    // By hand, in the fixture: canner A, a reading under 13, between its two tests or after.
    assert_eq!(changed(&household), [2, 3, 5, 7, 10, 11, 13].map(code));
    // Loads 2 to 13: load 1 lies before the first test, the rest on other canners.
    assert_eq!(rejudged.loads, 12);
    for (row, batch) in rows.iter().zip(&batches) {
        let judged = household.ledger.judge_anew(code(row.load)).unwrap();
        assert_eq!(judged.stored.unwrap().as_str(), row.verdict_after, "load {} after", row.load);
        assert!(judged.same, "load {}", row.load);
        let withheld = matches!(row.verdict_after.as_str(), "deviates" | "no-tested-process");
        for jar in household.jars(batch, &[]) {
            assert_eq!(jar.on_hold, withheld && jar.state.is_live(), "{} of load {}", jar.code, row.load);
        }
    }
    // Seven loads of two jars: the one eaten and the one given away come last, with whom to tell.
    assert_eq!(rejudged.pulled.len(), 14);
    let mut endings = Vec::new();
    household
        .ledger
        .each_traced(&rejudged.pulled, 0..14, |found| {
            if found.may_have_been_eaten() {
                let ending = found.ending.unwrap();
                endings.push((found.jar.state, ending.on.to_string(), ending.to));
            }
            Ok::<(), LedgerError>(())
        })
        .unwrap();
    assert_eq!(
        endings,
        [
            (JarState::Given, "2025-12-24".to_owned(), Some("an aunt".to_owned())),
            (JarState::Finished, "2026-01-06".to_owned(), None),
        ]
    );
}

/// The loads whose verdict the last entry changed.
fn changed(household: &Household) -> Vec<LoadCode> {
    let mut loads = Vec::new();
    household
        .ledger
        .each_rejudged(household.last_entry(), |judged| {
            loads.extend(judged.is_changed().then_some(judged.load));
            Ok::<(), LedgerError>(())
        })
        .unwrap();
    loads
}

/// Canner A with the second load of the fixture, 25-001: two quarts of 15 June 2025 read at 11 psi where 11 are owed.
fn one_load() -> Household {
    let mut household = kitchen();
    let row = rows().remove(1);
    put_up(&mut household, &row);
    morning_after(&mut household, "25-001", &row);
    household.on("2026-05-12T12:00");
    household
}

fn verdict(household: &Household) -> Verdict {
    household.ledger.judge_anew("25-001/1".parse().unwrap()).unwrap().stored.unwrap()
}

fn high(household: &Household, (reads, truly): (i64, i64), new: bool, on: &str) -> Rejudged {
    let test = GaugeTest::new(on.parse().unwrap(), new, &psi(&[reads]), &psi(&[truly])).unwrap();
    household.record_test("A", test).unwrap()
}

#[test]
fn undo_takes_back_a_gauge_test_with_its_verdicts_and_holds() {
    let household = one_load();
    for _ in 0..2 {
        high(&household, (10, 8), false, "2026-05-12");
        assert_eq!((verdict(&household), household.on_hold("25-001")), (Verdict::Deviates, vec![true; 2]));
        // Recorded again, it is judged again: before it the verdict in force was that of the putting up.
        assert_eq!(changed(&household).len(), 1);
        household.undo_last();
        assert_eq!((verdict(&household), household.on_hold("25-001")), (Verdict::Meets, vec![false; 2]));
    }
    let canner = household.ledger.canner(&"A".parse().unwrap()).unwrap();
    assert_eq!(household.ledger.gauge_tests(&canner).unwrap().len(), 1);
}

#[test]
fn a_batch_that_was_undone_is_not_judged() {
    let mut household = kitchen();
    put_up(&mut household, &rows().remove(1));
    household.undo_last();
    household.on("2026-05-12T12:00");
    let rejudged = high(&household, (10, 8), false, "2026-05-12");
    assert_eq!((rejudged.loads, rejudged.pulled.len()), (0, 0));
}

#[test]
fn a_new_gauge_says_nothing_of_loads_before_it() {
    let household = one_load();
    assert_eq!(high(&household, (10, 8), true, "2026-05-12").loads, 0);
    assert_eq!(verdict(&household), Verdict::Meets);
    // The old gauge's last test, found in a drawer, does.
    assert_eq!(high(&household, (10, 8), false, "2026-05-11").loads, 1);
    assert_eq!(verdict(&household), Verdict::Deviates);
}

#[test]
fn a_gauge_changed_on_the_day_of_a_load_does_not_let_its_jars_go() {
    let household = one_load();
    // 11 read on a gauge that read 3 psi high that day is a true 8 where 11 is owed.
    high(&household, (11, 8), false, "2025-06-15");
    assert_eq!((verdict(&household), household.on_hold("25-001")), (Verdict::Deviates, vec![true; 2]));
    // Nobody knows whether the load or the new gauge came first that day.
    let changed = high(&household, (11, 11), true, "2025-06-15");
    assert_eq!((changed.released, household.on_hold("25-001")), (vec![], vec![true; 2]));
}

#[test]
fn a_test_nearer_to_the_load_lets_its_jars_go() {
    let household = one_load();
    high(&household, (10, 8), false, "2026-05-12");
    assert_eq!(verdict(&household), Verdict::Deviates);
    // Of 2025-05-10 and 2025-12-01 both read true: the later, high one no longer speaks for 2025-06-15.
    let nearer = high(&household, (10, 10), false, "2025-12-01");
    assert_eq!((verdict(&household), nearer.pulled.len(), nearer.released.len()), (Verdict::Meets, 0, 2));
    assert_eq!(household.on_hold("25-001"), [false; 2]);
}

#[test]
fn a_weighted_gauge_needs_no_test_and_the_same_test_is_recorded_once() {
    let household = kitchen();
    let of = |reads: &[i64]| {
        GaugeTest::new("2025-05-10".parse().unwrap(), false, &psi(reads), &psi(reads)).unwrap()
    };
    let refused = refusal(household.record_test("C", of(&[10])));
    assert!(refused.starts_with("C: a weighted gauge needs no test"), "{refused}");
    // In whatever order its points are given.
    let refused = refusal(household.record_test("A", of(&[15, 5, 10, 5])));
    assert!(refused.starts_with("this test of A on 2025-05-10 is on record already"), "{refused}");
}
